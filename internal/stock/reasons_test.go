package stock

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

func (h *harrowmere) reasons(q ReasonsQuestion) ReasonsAnswer {
	h.t.Helper()
	a, err := h.Reasons(h.ctx(), q)
	h.must(err)
	return a
}

func reasonLines(rows []ReasonRow) []string {
	var lines []string
	for _, r := range rows {
		lines = append(lines, fmt.Sprintf("%s %s %s %s: %s", r.By, r.Act, r.Rule, r.Kind, r.Reason))
	}
	return lines
}

// S80: one of each that can stand in the list, in February; in March there is only what was done in March.
func TestS80ReasonsOfAMonth(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		h.now = time.Date(2027, 2, 2, 7, 0, 0, 0, time.UTC)
		soon, late := h.expires("SOON", "2027-06-01"), h.expires("LATE", "2027-09-01")
		order := q4("PAPER", 1)
		order.Certificate = nil
		h.receive(order)
		held := h.standing(CertificateMissing)
		if _, err := h.Release(h.ctx(), h.act("supervisor"), ReleaseOrder{ID: held, Evidence: "chlorine alarm", Until: "2027-02-10"}); err != nil {
			t.Fatal(err)
		}
		h.now = h.now.AddDate(0, 0, 1)
		out, err := h.CheckOut(h.ctx(), h.act("clerk"), CheckOutOrder{TakeOrder: forBumps(1), Cylinder: late, Holder: "A", Reasons: map[string]string{"R16": "Not found", "R21": "it fits"}})
		h.must(err)
		h.now = h.now.Add(time.Hour)
		h.back("A", ReturnOrder{Checkout: out.ID, Pressure: "59 bar", Temperature: "room", Gauge: "digital", Place: "CAGE", Reasons: map[string]string{"R32": "regulator left on"}})
		h.now = time.Date(2027, 3, 1, 7, 0, 0, 0, time.UTC)
		h.take("A", soon, 1)

		a := h.reasons(ReasonsQuestion{From: "2027-02-01"})
		want := []string{"A return R32 reason: regulator left on", "clerk check_out R16 reason: Not found", "supervisor release R5c acceptance: emergency acceptance until 2027-02-10: chlorine alarm"}
		if got := reasonLines(a.Rows); !slices.Equal(got, want) {
			t.Errorf("February has %q, want %q", got, want)
		}
		if a.From != "2027-02-01" || a.Until != "2027-02-28" || a.Handouts != 1 || a.AsksPerTen == nil || *a.AsksPerTen != 10 || a.CountsByRule["R21"] != 0 || len(a.CountsByRule) != 3 {
			t.Errorf("%+v", a)
		}
		taken := a.Rows[1]
		if taken.Subject != fmt.Sprintf("checkout:%d", out.ID) || string(taken.Cylinder) != late || !strings.Contains(taken.Text, soon+" at CAGE expires sooner") {
			t.Errorf("%+v", taken)
		}
		if narrow := h.reasons(ReasonsQuestion{Until: "2027-02-05", Rule: "R32"}); len(narrow.Rows) != 1 || narrow.From != "2027-02-01" || len(narrow.CountsByRule) != 3 || len(narrow.CountsByReason) != 1 {
			t.Errorf("%+v", narrow)
		}
		if march := h.reasons(ReasonsQuestion{}); len(march.Rows) != 0 || march.Handouts != 1 || *march.AsksPerTen != 0 || march.From != "2027-03-01" || march.Until != "2027-03-31" {
			t.Errorf("%+v", march)
		}
		if april := h.reasons(ReasonsQuestion{From: "2027-04-01"}); april.AsksPerTen != nil || april.Handouts != 0 {
			t.Errorf("%+v", april)
		}
	})
}

// standing gives the number of the hold that stands for a reason.
func (h *harrowmere) standing(reason string) int64 {
	h.t.Helper()
	rows, err := h.Store.HoldsAfter(h.ctx(), []string{reason}, 0, 2)
	h.must(err)
	if len(rows) != 1 {
		h.t.Fatalf("%d holds for %q", len(rows), reason)
	}
	return rows[0].ID
}

// What a supervisor lets through although it expired is an override.
func TestExpiredGasIsAnOverride(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	h.settings(func(s *catalogue.Settings) { s.BumpOverrideExpired = true })
	tag := h.expires("OLD", "2027-03-01")
	_, err := h.Release(h.ctx(), h.act("purchaser"), ReleaseOrder{ID: h.standing(ShortDated), Evidence: "credit note 12"})
	h.must(err)
	_, err = h.CheckOut(h.ctx(), h.act("supervisor"), CheckOutOrder{TakeOrder: forBumps(1), Cylinder: tag, Reasons: map[string]string{"R26": "nothing else is here"}})
	h.must(err)
	rows := h.reasons(ReasonsQuestion{Rule: "R26"}).Rows
	if len(rows) != 1 || rows[0].Kind != Overridden || rows[0].By != "supervisor" || !strings.Contains(rows[0].Text, "use by 1 Mar 2027") {
		t.Errorf("%+v", rows)
	}
}

// Readings and moves keep their reasons in the ledger, and what the first gauge finds low is accepted as on arrival.
func TestReasonsBesideCheckOuts(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tags := h.receive(q4("7K-2206", 5))
	_, err := h.Reading(h.ctx(), h.act("A"), ReadingOrder{Tag: tags[0], Pressure: "40 bar", Temperature: "room", Gauge: "digital", Reasons: map[string]string{"R34": "first gauge on it"}})
	h.must(err)
	_, err = h.Release(h.ctx(), h.act("purchaser"), ReleaseOrder{ID: h.standing(LowOnArrival), Evidence: "credit note 12"})
	h.must(err)
	for i, tag := range tags {
		order := MoveOrder{Tag: tag, Place: "CAB-T"}
		if i == 4 {
			order.Reasons = map[string]string{"R42": "one too many, until noon"}
		}
		_, err := h.Move(h.ctx(), h.act("clerk"), order)
		h.must(err)
	}
	got := h.reasons(ReasonsQuestion{})
	if got.CountsByRule["R34"] != 1 || got.CountsByRule["R5f"] != 1 || got.CountsByRule["R42"] != 1 {
		t.Errorf("%q", reasonLines(got.Rows))
	}
}

func TestOneReasonAnswersAllThatARuleAsks(t *testing.T) {
	var a answers
	a.add(ReasonRow{What: "7F3K-2QAQ"}, said{Reasons: map[string]string{"R24": " longer exposure ", "R20": "a spare", "R21": "it fits"}, Findings: []problem.Finding{
		{Rule: "R21", Severity: problem.Note, Subject: "R-01", Text: "it fits"},
		{Rule: "R24", Severity: problem.Ask, Subject: "T-01", Text: "not listed"}, {Rule: "R20", Severity: problem.Ask, Subject: "7F3K-2QAQ", Text: "3.2 L are left"},
		{Rule: "R24", Severity: problem.Ask, Subject: "R-01", Text: "doubtful"}, {Rule: "R24", Severity: problem.Ask, Subject: "R-01", Text: "doubtful"},
	}})
	var got []string
	for _, r := range a.rows {
		got = append(got, r.Rule+" "+r.Kind+" "+r.Text+" | "+r.Reason)
	}
	if want := "R24 reason T-01: not listed; R-01: doubtful | longer exposure, R20 reason 3.2 L are left | a spare"; strings.Join(got, ", ") != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestReasonsThatOnlyTheLedgerHas(t *testing.T) {
	for reason, want := range map[string]string{
		"R42: only for today":                             "R42 only for today",
		"R17b: by the manual; R42: R-01 waits; until May": "R17b by the manual, R42 R-01 waits; until May",
		"of its own accord":                               "",
		"see R42: nothing":                                "",
	} {
		var a answers
		a.entered(models.Entry{Kind: "move", Subject: "cylinder:7F3K-2QAQ", ByName: "clerk", Reason: reason})
		var got []string
		for _, r := range a.rows {
			got = append(got, r.Rule+" "+r.Reason)
			if r.Cylinder != "7F3K-2QAQ" || r.What != "7F3K-2QAQ" || r.Act != "move" {
				t.Errorf("%+v", r)
			}
		}
		if strings.Join(got, ", ") != want {
			t.Errorf("%q gives %q, want %q", reason, got, want)
		}
	}
}

func TestReasonsAreCountedAsTheyAreMeant(t *testing.T) {
	got := countReasons([]ReasonRow{{Rule: "R20", Reason: "spare in the van"}, {Rule: "R16", Reason: "Not found"}, {Rule: "R16", Reason: "not found"}, {Rule: "R16", Reason: "spare in the van"}})
	want := []ReasonCount{{"R16", "Not found", 2}, {"R16", "spare in the van", 1}, {"R20", "spare in the van", 1}}
	if !slices.Equal(got, want) {
		t.Errorf("%+v", got)
	}
}

func TestMonthAround(t *testing.T) {
	for _, tt := range [][4]unit.Date{
		{"", "", "2027-03-01", "2027-03-31"}, {"2027-02-10", "", "2027-02-10", "2027-02-28"}, {"", "2028-02-10", "2028-02-01", "2028-02-10"},
		{"2026-12-31", "2027-01-02", "2026-12-31", "2027-01-02"},
	} {
		if from, until := monthAround(tt[0], tt[1], "2027-03-03"); from != tt[2] || until != tt[3] {
			t.Errorf("%q to %q is %s to %s", tt[0], tt[1], from, until)
		}
	}
	h := settle(t, storetest.New(t))
	for question, wrong := range map[ReasonsQuestion]string{{From: "yesterday", Until: "32"}: "from until", {From: "2027-03-02", Until: "2027-03-01"}: "until", {From: "2025-03-02", Until: "2027-03-01"}: "until"} {
		_, err := h.Reasons(h.ctx(), question)
		h.fields(err, wrong)
	}
}

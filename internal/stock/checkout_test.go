package stock

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

func TestCheckOutGivesTheCylinderToAPerson(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tag := h.receive(q4("7K-2206", 1))[0]
		o := CheckOutOrder{TakeOrder: forBumps(14), Cylinder: strings.ToLower(tag), Regulator: "R-01"}
		o.Until = "2027-03-05"
		a, err := h.CheckOut(h.ctx(), h.act("A"), o)
		if err != nil {
			t.Fatal(err)
		}
		if string(a.Tag) != tag || a.Holder != "A" || a.Place != "CAGE" || a.NeedL != 2.4 || a.ExpiresOn != "2027-10-01" || len(a.LabelValues) != 4 || len(a.Findings) != 0 {
			t.Errorf("%+v", a)
		}
		c := h.one(tag)
		if c.Custody.Kind != "person" || c.Custody.Name != "A" || c.Custody.Checkout != a.ID || c.Place != "" || c.Stage != Sealed || c.Version != a.Version {
			t.Errorf("%+v, version %d", c.Custody, c.Version)
		}
		if got := h.entries("cylinder:" + tag)[1:]; fmt.Sprint(got) != "[check_out -1 cylinder CAGE check_out 1 cylinder person:A]" {
			t.Errorf("ledger: %q", got)
		}
		page, err := h.Checkouts(h.ctx(), CheckoutFilter{Open: true, Holder: "A"})
		if err != nil || len(page.Rows) != 1 || page.Rows[0].ID != a.ID || page.Rows[0].Until != "2027-03-05" || page.Rows[0].LateDays != 0 {
			t.Errorf("%+v %v", page, err)
		}
		if none, err := h.Checkouts(h.ctx(), CheckoutFilter{Holder: "B"}); err != nil || len(none.Rows) != 0 {
			t.Errorf("%+v %v", none, err)
		}
		h.verify()
	})
}

func TestCheckOutsAreListedNewestFirst(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tags := h.receive(q4("7K-2206", 3))
		for _, tag := range tags {
			h.take("A", tag, 1)
		}
		var seen []string
		for f := (CheckoutFilter{Limit: 2}); ; {
			page, err := h.Checkouts(h.ctx(), f)
			if err != nil {
				t.Fatal(err)
			}
			for _, row := range page.Rows {
				seen = append(seen, string(row.Tag))
			}
			if f.After = page.Next; f.After == 0 {
				break
			}
		}
		slices.Reverse(tags)
		if !slices.Equal(seen, tags) {
			t.Errorf("listed are %q, want %q", seen, tags)
		}
	})
}

func TestWhoComesSecondIsToldWhoHasIt(t *testing.T) { // S48, S49
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tag := h.receive(q4("7K-2206", 1))[0]
		if _, err := h.Move(h.ctx(), h.act("clerk"), MoveOrder{Tag: tag, Place: "BENCH"}); err != nil {
			t.Fatal(err)
		}
		h.now = h.now.Add(-48 * 60 * 1e9) // 07:12
		first := h.take("A", tag, 14)
		_, err := h.CheckOut(h.ctx(), h.act("B"), CheckOutOrder{TakeOrder: forBumps(1), Cylinder: tag})
		h.wants(err, problem.Conflict, tag+" is with A since 07:12, from BENCH")
		var p *problem.Error
		if errors.As(err, &p); !strings.Contains(p.Advice, fmt.Sprintf("check-out %d", first.ID)) || len(p.Findings) != 1 || p.Findings[0].Rule != "R30" {
			t.Errorf("%+v", p)
		}
		_, err = h.CheckOut(h.ctx(), h.act("A"), CheckOutOrder{TakeOrder: forBumps(1), Cylinder: tag})
		h.wants(err, problem.Conflict, "you have "+tag+" since 07:12, from BENCH")
		own := fmt.Sprintf("log tests on your check-out %d, or bring it back first", first.ID)
		if errors.As(err, &p); p.Advice != own || p.Findings[0].Text != "you have it since 07:12" || p.Findings[0].Advice != own {
			t.Errorf("%+v", p)
		}
	})
}

func TestOneOfManyGetsIt(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tag := h.receive(q4("7K-2206", 1))[0]
		const takers = 16
		errs := make([]error, takers)
		var all sync.WaitGroup
		for i := range takers {
			name := []string{"A", "B"}[i%2]
			all.Go(func() {
				_, errs[i] = h.CheckOut(h.ctx(), h.act(name), CheckOutOrder{TakeOrder: forBumps(1), Cylinder: tag})
			})
		}
		all.Wait()
		won := 0
		for _, err := range errs {
			if err == nil {
				won++
				continue
			}
			h.wants(err, problem.Conflict, tag)
			contains(t, "the conflict", err.Error(), "since 08:00, from CAGE")
		}
		if won != 1 {
			t.Errorf("%d got it", won)
		}
		if page, err := h.Checkouts(h.ctx(), CheckoutFilter{Open: true}); err != nil || len(page.Rows) != 1 {
			t.Errorf("%d check-outs are open, %v", len(page.Rows), err)
		}
		h.verify()
	})
}

func TestTheSameRequestTakesOnce(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tag := h.receive(q4("7K-2206", 1))[0]
	act := h.act("A")
	act.Key, act.Hash = "k1", "h1"
	o := CheckOutOrder{TakeOrder: forBumps(14), Cylinder: tag}
	first, err := h.CheckOut(h.ctx(), act, o)
	if err != nil {
		t.Fatal(err)
	}
	if again, err := h.CheckOut(h.ctx(), act, o); err != nil || fmt.Sprintf("%+v", again.ID) != fmt.Sprint(first.ID) || again.ExpiresOn != first.ExpiresOn {
		t.Errorf("%+v, %v", again, err)
	}
}

func TestALaterUseByWantsAReason(t *testing.T) { // S57
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		sooner, later := h.expires("SOON", "2027-06-01"), h.expires("LATE", "2027-09-01")
		o := CheckOutOrder{TakeOrder: forBumps(14), Cylinder: later, Regulator: "R-01"}
		_, err := h.CheckOut(h.ctx(), h.act("A"), o)
		h.wants(err, problem.Refused, sooner+" at CAGE expires sooner, on 1 Jun 2027; this one on 1 Sep 2027")
		o.Reasons = map[string]string{"R16": "A not found on the shelf: Not Found"}
		a, err := h.CheckOut(h.ctx(), h.act("A"), o)
		if err != nil || problem.Worst(a.Findings) != problem.Ask {
			t.Fatalf("%+v, %v", a, err)
		}
		contains(t, "the clerk's tasks", h.tasks("clerk"), "find "+sooner+": A did not find it at CAGE")
		contains(t, "the ledger", strings.Join(h.entries("cylinder:"+later), "; "), "R16: A not found on the shelf")
		if _, err := h.CheckOut(h.ctx(), h.act("B"), CheckOutOrder{TakeOrder: forBumps(14), Cylinder: sooner}); err != nil {
			t.Errorf("the earlier one needs no reason: %v", err)
		}
	})
}

func TestACheckOutIsRefusedWithEverythingAgainstIt(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	q := h.expires("SOON", "2027-03-05")
	cl := h.receive(chlorine())[0]
	h.make(&catalogue.Regulator{Code: "R-06", Inlet: "CGA 600", MaxPressure: "500 psi", Mode: "demand"})
	for name, c := range map[string]struct {
		order CheckOutOrder
		want  string
	}{
		"S41: past the last day":  {CheckOutOrder{TakeOrder: TakeOrder{Item: "Q4", Purpose: Calibration, Tests: []TestOrder{{"cal-q4", 4}}, Until: "2027-03-08"}, Cylinder: q}, "R26 stop|take another one, or finish by 5 Mar 2027"},
		"another item":            {CheckOutOrder{TakeOrder: forBumps(1), Cylinder: cl}, "R15 stop it is CL, and Q4 is wanted"},
		"S40: another outlet":     {CheckOutOrder{TakeOrder: forBumps(1), Cylinder: q, Regulator: "R-06"}, "R21 stop|R22 stop"},
		"no reason passes a stop": {CheckOutOrder{TakeOrder: forBumps(1), Cylinder: q, Regulator: "R-06", Reasons: map[string]string{"R21": "I insist", "R22": "it will hold"}}, "R21 stop"},
	} {
		_, err := h.CheckOut(h.ctx(), h.act("A"), c.order)
		h.wants(err, problem.Refused, "")
		var p *problem.Error
		if errors.As(err, &p) {
			contains(t, name, say(p.Findings), c.want)
		}
	}
	_, err := h.CheckOut(h.ctx(), h.act("A"), CheckOutOrder{TakeOrder: TakeOrder{Item: "Q4"}, Regulator: "R-9", Tubing: "T-9", Holder: "B"})
	h.fields(err, "cylinder holder regulator tests tubing")
	_, err = h.CheckOut(h.ctx(), h.act("A"), CheckOutOrder{TakeOrder: forBumps(1), Cylinder: "7F3K-2AAA"})
	h.fields(err, "cylinder")
	_, err = h.CheckOut(h.ctx(), h.act("A"), CheckOutOrder{TakeOrder: forBumps(1), Cylinder: q, Version: new(int64(9))})
	h.wants(err, problem.Conflict, "is at version 1 now, the change was made on version 9")
	if c := h.one(q); c.Custody.Kind != "place" || c.Version != 1 {
		t.Errorf("a refusal leaves it where it is: %+v", c.Custody)
	}
}

func TestAClerkHandsACylinderToSomebody(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tag := h.receive(q4("7K-2206", 1))[0]
	o := CheckOutOrder{TakeOrder: TakeOrder{Purpose: Bump}, Cylinder: tag, Holder: "B"} // what it is wanted for is what it is
	a, err := h.CheckOut(h.ctx(), h.act("clerk"), o)
	if err != nil || a.Holder != "B" || a.Item != "Q4" {
		t.Fatalf("%+v %v", a, err)
	}
	_, err = h.CheckOut(h.ctx(), h.act("clerk"), CheckOutOrder{TakeOrder: forBumps(1), Cylinder: tag, Holder: "nobody"})
	h.fields(err, "holder")
	if got := h.entries("cylinder:" + tag); got[len(got)-1] != "check_out 1 cylinder person:B" {
		t.Errorf("%q", got)
	}
}

func TestARegulatorThatIsOutIsNoted(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tags := h.receive(q4("7K-2206", 2))
	h.take("A", tags[0], 1)
	a := h.take("B", tags[1], 1)
	contains(t, "findings", say(a.Findings), "R53 note it went out on "+tags[0]+" with A since 08:00")
}

func TestACheckOutStaysExplainedByTheSettingsOfItsDay(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		h.settings(func(s *catalogue.Settings) { s.GraceDays, s.FlowLimitPct = 31, 8 })
		tag := h.receive(q4("7K-2206", 1))[0]
		id := h.take("A", tag, 14).ID
		before, err := h.Checkout(h.ctx(), h.people["A"], id)
		if err != nil {
			t.Fatal(err)
		}
		h.change("item", "Q4", func(o catalogue.Order) { o.(*catalogue.Item).Cutoff = "20 bar" })
		h.settings(func(s *catalogue.Settings) { s.GraceDays, s.FlowLimitPct, s.CutoffBar = 5, 50, 10 })
		after, err := h.Checkout(h.ctx(), h.people["A"], id)
		if err != nil {
			t.Fatal(err)
		}
		if after.Settings.GraceDays != 31 || after.Settings.FlowLimitPct != 8 || after.SettingsVersion != before.SettingsVersion {
			t.Errorf("the settings told are %d days and %g %%, version %d", after.Settings.GraceDays, after.Settings.FlowLimitPct, after.SettingsVersion)
		}
		e := after.Explained.Out
		if e.Usable.Cutoff.Bar != 2 || e.Usable.Cutoff.Why != "the item's cut-off" || e.NeedL != 2.4 || e.UseBy.ExpiresOn != "2027-10-01" || e.IfOpenedOn != "2027-03-03" {
			t.Errorf("%+v", e)
		}
		if *e.Margin != *before.Explained.Out.Margin || e.Versions["item:Q4"] != 1 || e.Versions["procedure:bump-q4"] != 1 {
			t.Errorf("margin %+v, versions %v", e.Margin, e.Versions)
		}
		current, err := catalogue.CurrentSettings(h.ctx(), s)
		if err != nil || current.GraceDays != 5 {
			t.Errorf("%d, %v", current.GraceDays, err)
		}
	})
}

func TestWhatIsRecommendedCanBeCheckedOutAtOnce(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tags := append(h.receive(q4("7K-2206", 3)), h.expires("SOON", "2027-03-20"), h.expires("LATE", "2027-12-01"))
	rapid.Check(t, func(r *rapid.T) {
		for _, tag := range tags {
			bar, opened := rapid.Float64Range(1, 69).Draw(r, "bar"), rapid.Bool().Draw(r, "opened")
			h.alter(tag, func(c *models.Cylinder) {
				c.Stage, c.OpenedOn, c.Pressure, c.PressureSource = Sealed, "", unit.PressureBar(69), Fill
				if opened {
					c.Stage, c.OpenedOn, c.Pressure, c.PressureSource = Opened, "2027-02-01", unit.PressureBar(bar), Measured
				}
			})
		}
		o := forBumps(rapid.Int64Range(1, 400).Draw(r, "bumps"))
		if rapid.Bool().Draw(r, "calibrate") {
			o.Tests = []TestOrder{{"cal-q4", rapid.Int64Range(1, 100).Draw(r, "cals")}}
		}
		o.Until = unit.Date("2027-03-03").AddDays(rapid.IntRange(0, 100).Draw(r, "days"))
		a := h.recommend(o)
		if a.Pick == nil {
			return
		}
		reasons := map[string]string{}
		for _, f := range a.Pick.Findings {
			if f.Severity == problem.Ask {
				reasons[f.Rule] = "as recommended"
			}
		}
		out, err := h.CheckOut(h.ctx(), h.act("A"), CheckOutOrder{TakeOrder: o, Cylinder: string(a.Pick.Tag), Regulator: *a.Pick.Kit.Regulator, Reasons: reasons})
		if err != nil {
			r.Fatalf("%s was recommended: %v", a.Pick.Tag, err)
		}
		if _, err := h.Return(h.ctx(), h.act("A"), ReturnOrder{Checkout: out.ID, Place: "CAGE"}); err != nil {
			r.Fatal(err)
		}
	})
	h.verify()
}

package reorder

import (
	"math"
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

func texts(findings []problem.Finding) string {
	var out []string
	for _, f := range findings {
		out = append(out, f.Rule+" "+f.Text+" > "+f.Advice)
	}
	return strings.Join(out, "\n")
}

func TestPlanStates(t *testing.T) {
	filters := Terms{Supplier: "Northbank Gases", Pack: 10, MOQ: 10, Price: eur(3150), LeadDays: 14, ReviewDays: 7, Service: 0.95}
	with := func(q Question, change func(*Question)) Question { change(&q); return q }
	for _, c := range []struct {
		name     string
		question Question
		state    State
		by       unit.Date
		needed   unit.Date
		proposed int
		cost     unit.Money
		why      string
	}{
		{"S60 five usable are below 5.16", plan(q4, 0.54, 0.20, Lot{Units: 5}),
			OrderNow, today, "2027-04-14", 6, eur(46800), "5 usable is below the level of 5.1 for 7 weeks of lead time and review"},
		{"S59 nine are 6.62, below 5.16 in three weeks", plan(q4, 0.54, 0.20, Lot{Units: 4, ExpiresOn: today.AddDays(21)}, Lot{Units: 5}),
			Later, "2027-03-23", "2027-05-04", 0, unit.Money{}, "6.6 usable (2.4 of 9 expire unused) falls to the level of 5.1 on 23 Mar 2027"},
		{"stock on order counts", with(plan(q4, 0.54, 0.20, Lot{Units: 2}), func(q *Question) {
			q.OnOrder = []Arrival{{Order: "17", On: "2027-03-20", Units: 6, ExpiresOn: "2027-11-01"}}
		}), Later, "2027-04-10", "2027-05-22", 0, unit.Money{}, "2 usable with 6 on order falls to the level"},
		{"an order that comes after the look ahead does not", with(plan(q4, 0.54, 0.20, Lot{Units: 2}), func(q *Question) {
			q.OnOrder = []Arrival{{Order: "17", On: "2027-06-20", Units: 6, ExpiresOn: "2027-12-01"}}
		}), OrderNow, today, "2027-04-14", 6, eur(46800), "2 usable with 6 on order is below"},
		{"plenty that expires is not plenty", plan(q4, 0.54, 0.20, Lot{Units: 40, ExpiresOn: today.AddDays(28)}),
			OrderNow, today, "2027-04-14", 6, eur(46800), "2.2 usable (37.8 of 40 expire unused) is below"},
		{"more than two years of stock", plan(filters, 0.5, 0.3, Lot{Units: 200, ExpiresOn: "2099-01-01"}),
			Enough, "", "", 0, unit.Money{}, "200 usable lasts for more than two years"},
		{"whole packs", with(plan(filters, 10, 4), func(q *Question) { q.Unit = "each" }),
			OrderNow, today, "2027-03-17", 50, eur(15750), "0 usable is below the level of 41.4 for 3 weeks"},
		{"no use", plan(q4, 0, 0, Lot{Units: 3}), Enough, "", "", 0, unit.Money{}, "no use is forecast (3 of 3 expire unused)"},
		{"no supplier", plan(Terms{}, 0.5, 0.2, Lot{Units: 3}), ToDecide, "", "", 0, unit.Money{}, "no supplier is set: usable stock lasts 6 weeks, until 14 Apr 2027"},
		{"no figures but a supplier", plan(Terms{Supplier: "Northbank Gases"}, 1, 0), OrderNow, today, today, 1, unit.Money{}, "0 usable is below"},
		{"no date", with(plan(q4, 1, 1), func(q *Question) { q.Today = "today" }), Enough, "", "", 0, unit.Money{}, "the plan has no date"},
		{"nothing at all", Question{}, Enough, "", "", 0, unit.Money{}, "the plan has no date"},
	} {
		l := Plan(c.question)
		if l.State != c.state || l.OrderBy != c.by || l.NeededBy != c.needed || l.Proposed != c.proposed || l.Cost.Minor != c.cost.Minor {
			t.Errorf("%s: %s by %q for %q, %d for %s; want %s by %q for %q, %d for %s", c.name,
				l.State, l.OrderBy, l.NeededBy, l.Proposed, l.Cost, c.state, c.by, c.needed, c.proposed, c.cost)
		}
		if !strings.HasPrefix(l.Why, c.why) {
			t.Errorf("%s: %q, want %q", c.name, l.Why, c.why)
		}
	}
}

func TestExpectedWasteIsOfStockAndProposal(t *testing.T) {
	l := Plan(plan(q4, 0.54, 0.20, Lot{Units: 4, ExpiresOn: today.AddDays(21)}, Lot{Units: 3}))
	if l.Proposed != 6 || !near(l.ExpectedWaste.Units, 2.38, 1e-9) || l.ExpectedWaste.Money != eur(18564) {
		t.Errorf("%d proposed, waste %+v; want 6, 2.38 and 185.64 EUR", l.Proposed, l.ExpectedWaste)
	}
}

func TestShelfLifeCapsTheProposal(t *testing.T) {
	short := q4
	short.MOQ, short.Pack, short.MinimumLifeDays = 2, 2, 70
	l := Plan(plan(short, 0.54, 1.5))
	if l.State != OrderNow || *l.QMax != 5 || l.Proposed != 4 || l.ProposedPacks != 2 {
		t.Errorf("%s, %d of at most %d in %d packs; want 4 of at most 5 in 2 packs", l.State, l.Proposed, *l.QMax, l.ProposedPacks)
	}
	if got := texts(l.Findings); !strings.Contains(got, "R47 12 cylinders would reach the level, only 5 are used") {
		t.Errorf("findings %s", got)
	}
}

func TestPackThatDoesNotFitIsDecidedByAPerson(t *testing.T) {
	box := cl
	box.Pack, box.MOQ, box.Price = 12, 1, eur(200000)
	q := plan(box, 0.14, 0.05)
	q.Others = []Terms{
		{Supplier: "Northbank Gases", MOQ: 2, Pack: 1, Price: eur(26000), LeadDays: 28, ReviewDays: 7, MinimumLifeDays: 150, Service: 0.95},
		{Supplier: "Far Away Gas", MOQ: 10, Pack: 10, Price: eur(90000), LeadDays: 70, MinimumLifeDays: 182, Service: 0.95},
		box,
	}
	l := Plan(q)
	if l.Decide == nil || l.Decide.Why != "a pack is 12, only 3 used before use-by" || l.Proposed != 0 {
		t.Fatalf("%+v", l)
	}
	opts := byKey(l.Decide.Options)
	if _, there := opts["split"]; there {
		t.Error("one pack cannot be delivered in parts")
	}
	if share := opts["share"]; share.Quantity != 3 || share.Cost != eur(50000) || share.Text != "share 12 cylinders with a sister site: 3 here, 9 there" {
		t.Errorf("share: %+v", share)
	}
	var others []Option
	for _, o := range l.Decide.Options {
		if o.Key == "other" {
			others = append(others, o)
		}
	}
	if len(others) != 2 {
		t.Fatalf("other suppliers: %+v", others)
	}
	if o := others[0]; o.Quantity != 2 || o.Cost != eur(52000) || o.WasteUnits != 0 || o.Text != "order 2 cylinders from Northbank Gases, 4 weeks of lead time: all used in time" {
		t.Errorf("%+v", o)
	}
	if o := others[1]; o.Quantity != 10 || o.Cost != eur(90000) || !near(o.WasteUnits, 6.36, 1e-6) || o.Waste != eur(57240) {
		t.Errorf("%+v", o)
	}
}

func TestLeastOrderThatFitsByThenIsNotDecidedToday(t *testing.T) {
	ten := q4
	ten.MOQ = 10
	l := Plan(plan(ten, 0.54, 0.20, Lot{Units: 8})) // 9 today, 12 in five weeks when the order falls due
	if l.State != Later || *l.QMax != 9 || l.Decide != nil {
		t.Errorf("%s with a cap of %d and %+v", l.State, *l.QMax, l.Decide)
	}
}

func TestS70HeldStockIsExcludedButNamed(t *testing.T) {
	held := func(hold string) Lot { return Lot{Lot: "7K-2206", Units: 3, Held: true, Hold: hold} }
	q := plan(q4, 0.54, 0.20, Lot{Units: 2}, held("Certificate missing"), held("certificate_missing"), held("Leak suspected"),
		Lot{Units: 9, Held: true, Hold: "Undated", ExpiresOn: "2027-01-01"})
	l := Plan(q)
	if l.Usable != 2 || l.OnHand != 2 || l.State != OrderNow || l.Proposed != 6 {
		t.Errorf("usable %v, %s %d; held stock must not count", l.Usable, l.State, l.Proposed)
	}
	if len(l.Held) != 2 || l.Held[0].Units != 6 || l.Held[0].Text != "6 more if certificate arrives" || l.Held[1].Text != "3 more if the hold Leak suspected is released" {
		t.Errorf("held %+v", l.Held)
	}
	if !strings.Contains(l.Why, "6 more if certificate arrives") {
		t.Errorf("why: %q", l.Why)
	}
	got := texts(l.Findings)
	if !strings.Contains(got, "chase the certificate before ordering: with it no order is due today") || !strings.Contains(got, "is released > settle the hold\n") && !strings.HasSuffix(got, "is released > settle the hold") {
		t.Errorf("findings:\n%s", got)
	}
}

func TestWhatIsOutLateIsAskedBack(t *testing.T) {
	l := Plan(plan(q4, 0.54, 0.20, Lot{Units: 2}, Lot{Lot: "7K-2206", Units: 1, Held: true, Hold: OutLate}))
	if l.OnHand != 2 || len(l.Held) != 1 || l.Held[0].Text != "1 more if what is out late comes back" || !strings.Contains(texts(l.Findings), "> ask for it back") {
		t.Errorf("%v on hand, held %+v\n%s", l.OnHand, l.Held, texts(l.Findings))
	}
}

func TestFreshSaysWhatTheCapRestsOn(t *testing.T) {
	older := plan(cl, 0.14, 0.05, Lot{Units: 1.4}) // ten weeks, of which six are the lead time
	l := Plan(older)
	if f := l.Fresh; f == nil || f.LifeWeeks != 26 || !near(f.OlderWeeks, 10, 1e-9) || !near(f.UsedInTime, 0.14*22, 1e-9) || *l.QMax != 3 {
		t.Errorf("%+v, at most %d", l.Fresh, *l.QMax)
	}
	older.MinimumLifeDays = 0
	if l := Plan(older); l.Fresh != nil || l.QMax != nil {
		t.Errorf("without a life on arrival: %+v", l.Fresh)
	}
}

func TestConsumablesHaveNoCap(t *testing.T) {
	l := Plan(Question{Item: "FILTER-H", Unit: "each", Today: today, PerWeek: 2, SD: 1, Lots: []Lot{{Units: 1}},
		Terms: Terms{Supplier: "Northbank Gases", Pack: 10, MOQ: 10, Price: eur(3150), LeadDays: 21, ReviewDays: 7, Service: 0.95}})
	if l.QMax != nil || l.Decide != nil || l.Proposed != 20 || l.ExpectedWaste.Units != 0 || l.ExpectedWaste.Money.Minor != 0 {
		t.Errorf("%+v", l)
	}
}

func TestNotesBesideTheLine(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Question)
		want   string
	}{
		{"late", func(q *Question) { q.Lots[0].Units = 1 }, "R46 an order of today arrives about 14 Apr 2027; usable stock lasts 1.9 weeks, until 15 Mar 2027"},
		{"past use-by", func(q *Question) { q.Lots[0].ExpiresOn = "2027-03-02" }, "R45 5 of lot A on the shelf are past their use-by of 2 Mar 2027 > take them off the shelf"},
		{"overdue", func(q *Question) { q.OnOrder = []Arrival{{Order: "9", On: "2027-03-01", Units: 2}} }, "R45 order 9 was due on 1 Mar 2027"},
		{"no price", func(q *Question) { q.Price = unit.Money{} }, "R48 no price is known"},
		{"no life", func(q *Question) { q.MinimumLifeDays = 0 }, "R47 no minimum life on arrival is agreed"},
		{"impossible stock", func(q *Question) { q.Lots[0].Units = math.NaN() }, "R45 lot A has an impossible figure"},
		{"impossible order", func(q *Question) { q.OnOrder = []Arrival{{Order: "9", On: "soon", Units: 2}} }, "R45 order 9 has an impossible figure"},
		{"impossible forecast", func(q *Question) { q.PerWeek = -1 }, "R45 the forecast has an impossible figure"},
	} {
		q := plan(q4, 0.54, 0.20, Lot{Lot: "A", Units: 5})
		if got := texts(Plan(q).Findings); got != "" {
			t.Fatalf("without cause: %s", got)
		}
		c.change(&q)
		if got := texts(Plan(q).Findings); !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A lead time that nobody has entered is asked for; it is not taken for none.
func TestLeadTimeThatIsNotEntered(t *testing.T) {
	unknown, other, alsoUnknown := q4, q4, q4
	unknown.LeadDays, unknown.LeadUnknown = 0, true
	other.Supplier, alsoUnknown.Supplier, alsoUnknown.LeadUnknown = "Ferrow Specialty", "Far Away Gas", true
	q := plan(unknown, 0.54, 0.20, Lot{Units: 3})
	q.Others = []Terms{other, alsoUnknown}
	l := Plan(q)
	if l.State != ToDecide || l.OrderBy != "" || l.NeededBy != "" || l.Level != 0 || l.Proposed != 0 || l.QMax != nil {
		t.Errorf("%+v", l)
	}
	if want := "the lead time of Northbank Gases is not entered: usable stock lasts 5.6 weeks, until "; !strings.HasPrefix(l.Why, want) {
		t.Errorf("%q, want %q", l.Why, want)
	}
	if got := texts(l.Findings); !strings.Contains(got, "R46 the lead time of Northbank Gases is not entered, so no date to order by can be given") {
		t.Errorf("findings %s", got)
	}
	var keys []string
	for _, o := range l.Decide.Options {
		keys = append(keys, o.Key+" "+o.Text)
	}
	if len(keys) != 3 || !strings.HasPrefix(keys[0], "without order nothing") || !strings.HasPrefix(keys[1], "other order 6 cylinders from Ferrow Specialty, 6 weeks of lead time") ||
		keys[2] != "other ask Far Away Gas: the lead time of Far Away Gas is not entered" {
		t.Errorf("%q", keys)
	}
	if idle := Plan(plan(unknown, 0, 0)); idle.State != Enough {
		t.Errorf("without use: %s, %s", idle.State, idle.Why)
	}
}

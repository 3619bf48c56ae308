package stock

import (
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

func TestRecommendTellsAllAboutOnePick(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tags := h.receive(q4("7K-2206", 3))
		h.open(tags[1], 40)
		a := h.recommend(forBumps(14))
		p := a.Pick
		if p == nil || string(p.Tag) != tags[1] || p.Place != "CAGE" || p.Why != "opened, use it up first" || p.Stage != Opened {
			t.Fatalf("%+v", p)
		}
		if got := strings.Join(p.LabelValues, ", "); got != "CH4 2.52 %vol, O2 18.1 %vol, CO 99 ppm, H2S 24.6 ppm" || p.Balance != "N2" {
			t.Errorf("the label must read %q in %s", got, p.Balance)
		}
		if p.ExpiresOn != "2027-10-01" || p.GovernedBy.Term != "certificate" || *p.DaysLeft != 212 {
			t.Errorf("use-by %+v", p.UseByDate)
		}
		if len(p.TestsLeft) != 1 || p.TestsLeft[0].Procedure != "bump-q4" || p.TestsLeft[0].Low >= p.TestsLeft[0].Expected {
			t.Errorf("tests left %+v", p.TestsLeft)
		}
		within(t, "bumps", float64(p.TestsLeft[0].Expected), (37.5-0.3)/0.15, 0.03)
		if a.NeedL != 2.4 || a.Margin == nil || a.Margin.Low >= a.Margin.Expected || *a.Margin != p.Margin {
			t.Errorf("needs %g L, margin %+v", a.NeedL, a.Margin)
		}
		within(t, "margin", a.Margin.Expected, 37.5-2.4, 0.02)
		if p.Kit.Regulator == nil || *p.Kit.Regulator != "R-01" || len(p.Findings) != 0 {
			t.Errorf("kit %+v, findings %s", p.Kit, say(p.Findings))
		}
		if len(a.Alternatives) != 2 || a.Alternatives[0].Why != "sealed, earliest use-by" || a.Pair != nil || len(a.PassedOver) != 0 {
			t.Errorf("%d alternatives, %+v", len(a.Alternatives), a.PassedOver)
		}
		h.give(tags[1], "B")
		if a := h.recommend(TakeOrder{Blend: "Q4", Purpose: Bump}); string(a.Pick.Tag) == tags[1] || a.PassedOverCount["R30"] != 1 {
			t.Errorf("what B has is picked: %+v", a.PassedOverCount)
		}
	})
}

func TestTheSamePlaceComesBeforeAnother(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tags := h.receive(q4("7K-2206", 2))
	if _, err := h.Move(h.ctx(), h.act("clerk"), MoveOrder{Tag: tags[1], Place: "VAN-1"}); err != nil {
		t.Fatal(err)
	}
	for _, place := range []string{"VAN-1", "CAGE"} {
		o := forBumps(1)
		o.Place = place
		if p := h.recommend(o).Pick; p.Place != place {
			t.Errorf("who asks at %s is sent to %s", place, p.Place)
		}
	}
}

func TestNoCandidateNamesTheNextStep(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	h.change("item", "Q4", func(o catalogue.Order) {
		o.(*catalogue.Item).Sources = []catalogue.Source{{Supplier: "northbank", Article: "00417", Pack: 1, MOQ: 1, Price: "78.00 EUR"}}
	})
	a := h.recommend(forBumps(14))
	if a.Pick != nil || a.Margin != nil || problem.Worst(a.Findings) != problem.Stop {
		t.Fatalf("%+v", a)
	}
	contains(t, "why", say(a.Findings), "R15 stop there is no cylinder of it here|order Q4 from Northbank Gases, 42 days")
	tag := h.expires("ONE", "2027-06-01")
	contains(t, "the last one", say(h.recommend(forBumps(14)).Pick.Findings), "R16 note it is the last sealed one of Q4, and a new one takes 42 days")
	h.take("A", tag, 14)
	contains(t, "the purchaser's tasks", h.tasks("purchaser"), "last sealed one of Q4")
	contains(t, "why", say(h.recommend(forBumps(14)).Findings), "1 by R30 (with somebody)|bring back "+tag+", which you have")
}

func TestWhatSomebodyDidNotFindIsOfferedLast(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		lost, next, third := h.expires("SOON", "2027-06-01"), h.expires("LATE", "2027-09-01"), h.expires("LAST", "2027-09-20")
		o := CheckOutOrder{TakeOrder: forBumps(1), Cylinder: next, Reasons: map[string]string{"R16": "not found"}}
		if _, err := h.CheckOut(h.ctx(), h.act("A"), o); err != nil {
			t.Fatal(err)
		}
		a := h.recommend(forBumps(1))
		if p := a.Pick; string(p.Tag) != third || len(p.Findings) != 0 || len(a.Alternatives) != 1 {
			t.Fatalf("the pick is %s: %s", p.Tag, say(p.Findings))
		}
		if last := a.Alternatives[0]; string(last.Tag) != lost || last.Why != "sealed, but somebody did not find it" {
			t.Errorf("%s: %s", last.Tag, last.Why)
		}
		contains(t, "the lost one", say(a.Alternatives[0].Findings), "R16 note somebody did not find it at CAGE: the clerk is looking for it → take another one")
		contains(t, "its page", say(h.one(lost).Readiness.Findings), "the clerk is looking for it")
		h.take("B", lost, 1)
		if left := h.tasks("clerk"); strings.Contains(left, "find") {
			t.Errorf("B has it, and the clerk still has to %s", left)
		}
		if found := say(h.one(lost).Readiness.Findings); strings.Contains(found, "looking for it") {
			t.Errorf("B has it: %s", found)
		}
	})
}

func TestTheLastSealedOneIsToldOnceWhileThatIsOpen(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	h.change("item", "Q4", func(o catalogue.Order) {
		o.(*catalogue.Item).Sources = []catalogue.Source{{Supplier: "northbank", Article: "00417", Pack: 1, MOQ: 1, Price: "78.00 EUR"}}
	})
	tag := h.expires("ONE", "2027-06-01")
	told := func() []models.Task {
		h.t.Helper()
		out := h.take("A", tag, 1)
		if _, err := h.Return(h.ctx(), h.act("A"), ReturnOrder{Checkout: out.ID, Place: "CAGE", Pressure: "69 bar"}); err != nil {
			t.Fatal(err)
		}
		h.alter(tag, func(c *models.Cylinder) { c.Stage, c.OpenedOn = Sealed, "" })
		tasks, err := h.Store.OpenTasks(h.ctx(), "purchaser", false)
		if err != nil || len(tasks) != 1 {
			t.Fatalf("%+v %v, want one job", tasks, err)
		}
		return tasks
	}
	first, second := told(), told()
	if first[0] != second[0] {
		t.Errorf("told again: %+v", second)
	}
	if _, err := h.FinishTask(h.ctx(), h.act("purchaser"), first[0].ID); err != nil {
		t.Fatal(err)
	}
	if third := told(); third[0].ID == first[0].ID {
		t.Errorf("it was finished, and stands again: %+v", third)
	}
}

func TestRegulatorsThatAreOutOrHeldAreNotInTheKit(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tags := h.receive(q4("7K-2206", 3))
	h.make(&catalogue.Regulator{Code: "R-02", Inlet: "C-10", MaxPressure: "1000 psi", Mode: "fixed", Flow: "0.3 L/min"})
	h.take("A", tags[0], 1)
	if kit := h.recommend(forBumps(14)).Pick.Kit; kit.Regulator == nil || *kit.Regulator != "R-02" {
		t.Errorf("R-01 is out: %+v", kit)
	}
	if _, err := h.Hold(h.ctx(), h.act("A"), HoldOrder{On: HoldOn{Kind: "regulator", ID: "R-02"}, Reason: Damaged}); err != nil {
		t.Fatal(err)
	}
	if kit := h.recommend(forBumps(14)).Pick.Kit; kit.Regulator != nil {
		t.Errorf("R-02 is on hold: %+v", kit)
	}
}

func TestTheOneInTheHandIsToldAbout(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	sooner, later, cl := h.expires("SOON", "2027-06-01"), h.expires("LATE", "2027-09-01"), h.receive(chlorine())[0]
	h.give(cl, "B")
	for tag, want := range map[string]string{
		sooner: "", later: "R16 ask " + sooner + " at CAGE expires sooner", cl: "R15 stop it is CL, and Q4 is wanted|R30 stop it is with B",
	} {
		p, err := h.Consider(h.ctx(), h.people["A"], CheckOutOrder{TakeOrder: forBumps(14), Cylinder: tag})
		if err != nil || string(p.Tag) != tag || p.Why != "in your hand" {
			t.Errorf("%+v %v", p, err)
		}
		if contains(t, tag, say(p.Findings), want); want == "" && len(p.Findings) != 0 {
			t.Errorf("%s", say(p.Findings))
		}
	}
}

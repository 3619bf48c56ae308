package stock

import (
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store/storetest"
)

func (h *harrowmere) consider(o CheckOutOrder) Pick {
	h.t.Helper()
	p, err := h.Consider(h.ctx(), h.people["viewer"], o)
	if err != nil {
		h.t.Fatal(err)
	}
	return p
}

// A check says what the check-out would, with the set that is named and what is proposed for the rest.
func TestTheCheckJudgesTheSetThatIsNamed(t *testing.T) {
	h := checking(t, storetest.New(t))
	h.make(
		&catalogue.Regulator{Code: "R-05", Inlet: "C-10", MaxPressure: "103 bar", Mode: "fixed", Flow: "0.3 L/min", Body: "brass", LastGas: "NH3", Place: "CAGE"},
		&catalogue.Tubing{Code: "T-01", Material: "FEP", Length: "60 cm", Place: "CAGE"},
	)
	tags := h.receive(q4("7K-2206", 2))
	order := CheckOutOrder{TakeOrder: calibrating("D-101", "D-102"), Cylinder: tags[0]}
	p := h.consider(order)
	if len(p.Findings) != 0 || codesOf(p.Kit) != "R-01 T-01 -" || p.Compared != "compared with instruments: 2 of DIFF-4" || p.Outlet != "CGA C-10" || len(p.KeptFor) != 0 {
		t.Errorf("as proposed: %s %+v %s", codesOf(p.Kit), p, say(p.Findings))
	}
	order.Regulator = "R-05"
	p = h.consider(order)
	contains(t, "R-05", say(p.Findings), "R24 stop fits, but was last used on NH3")
	if codesOf(p.Kit) != "R-05 T-01 -" || p.Findings[0].Severity != problem.Stop {
		t.Errorf("%s, first comes %v", codesOf(p.Kit), p.Findings[0])
	}
	if r := p.Kit.Parts[0]; r.Code != "R-05" || r.Material != "brass" || strings.Join(r.LastGas, " ") != "NH3" || r.Where != "at CAGE" {
		t.Errorf("%+v", r)
	}
	if _, err := h.tries(tags[0], order.TakeOrder, func(o *CheckOutOrder) { o.Regulator, o.Tubing = "R-05", "T-01" }); !strings.Contains(wholeError(err), "last used on NH3") {
		t.Errorf("the check-out says %v", err)
	}
	order.Regulator = "R-01"
	if _, err := h.tries(tags[1], order.TakeOrder, nil); err != nil {
		t.Fatal(err)
	}
	contains(t, "a regulator that is out", say(h.consider(order).Findings), "R53 note it went out on "+tags[1]+" with A since 08:00")
	h.verify()
}

func TestTheCheckTellsWhatWouldBeEntered(t *testing.T) {
	h := checking(t, storetest.New(t))
	tag := h.receive(q4("7K-2206", 1))[0]
	order := CheckOutOrder{TakeOrder: calibrating("D-101", "D-103"), Cylinder: tag}
	p := h.consider(order)
	contains(t, "as they are set", say(p.Findings), "R17 stop H2S 24.6 ppm vs 23.2 ppm set")
	if len(p.Steps) != 3 || p.Steps[0] != "enter H2S 24.6 ppm in D-103 first" || !strings.HasPrefix(p.Steps[1], "zero first") {
		t.Errorf("in which order: %q", p.Steps)
	}
	if strings.Join(p.ToCertified, "; ") != "H2S 24.6 ppm on D-103" {
		t.Errorf("to be entered: %q", p.ToCertified)
	}
	order.SetToCertified = true
	contains(t, "entered", say(h.consider(order).Findings), "R17 ask 24.6 ppm is entered in place of 23.2 ppm")
	order.Instruments = []string{"D-101", "D-102"}
	if p := h.consider(order); len(p.ToCertified) != 0 || len(p.Findings) != 0 {
		t.Errorf("nothing is to be entered: %q %s", p.ToCertified, say(p.Findings))
	}
	order.Instruments, order.Purpose = []string{"D-103"}, Bump
	if p := h.consider(order); len(p.ToCertified)+len(p.Steps) != 0 {
		t.Errorf("for a bump: %q", p.ToCertified)
	}
}

func TestTheOrderOfWorkIsToldWhereValuesAreReliedOn(t *testing.T) {
	h := checking(t, storetest.New(t))
	h.receive(q4("7K-2206", 1))
	if got := strings.Join(h.recommend(calibrating("D-101")).Steps, "; "); got != "zero first, in clean air: no exhaust, no solvent, no silicone near; calibrate with Q4 (CH4, O2, CO, H2S)" {
		t.Errorf("%q", got)
	}
	if got := h.recommend(forBumps(2)).Steps; got == nil || len(got) != 0 {
		t.Errorf("for bumps %q", got)
	}
}

func TestGasThatNeedsASetOfItsOwnSaysSo(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tag := h.receive(chlorine())[0]
	if p := h.consider(CheckOutOrder{TakeOrder: TakeOrder{Purpose: Bump}, Cylinder: tag}); strings.Join(p.KeptFor, " ") != "Cl2" {
		t.Errorf("%q", p.KeptFor)
	}
}

func TestManyNamesAreToldBriefly(t *testing.T) {
	for names, want := range map[string]string{"A": "A", "A B C": "A, B, C", "A B C D E": "A, B, C and 2 more"} {
		if got := briefly(strings.Fields(names)); got != want {
			t.Errorf("%s: %q", names, got)
		}
	}
}

func TestOneFindingIsToldOnceAndAtItsHardest(t *testing.T) {
	ask := problem.Finding{Rule: "R23", Severity: problem.Ask, Subject: "R-08", Text: "too strong", Advice: "say why"}
	stop, other := ask, ask
	stop.Severity, stop.Advice, other.Text = problem.Stop, "take another one", "too weak"
	for _, found := range [][]problem.Finding{{ask, other, stop}, {stop, other, ask}, {ask, ask, other, stop, ask}} {
		if got := distinct(found); len(got) != 2 || got[0] != stop || got[1] != other {
			t.Errorf("%+v", got)
		}
	}
}

package fit

import (
	"strings"
	"testing"

	"spanroom/internal/problem"
)

func TestLastGas(t *testing.T) {
	const fits = "fits, but was last used on "
	for _, c := range []struct{ last, now, says, advice string }{
		{"", "Cl2 N2", "", ""},
		{"Cl2 N2", "Cl2 N2", "", ""},
		{"HCl N2", "Cl2 N2", "", ""},
		{"HF", "HCl N2", "", ""},
		{"CH4 O2 CO H2S N2", "SO2 N2", "", ""},
		{"NH3", "NH3 air", "", ""},
		{"NH3", "Cl2 N2", fits + "NH3", "one that is kept for Cl2"},
		{"NH3 N2", "CH4 O2 CO H2S N2", fits + "NH3", "one that was not used on it"},
		{"H2S N2", "Cl2 N2", fits + "H2S, N2", "one that is kept for Cl2"},
		{"HCN", "PH3", fits + "HCN", "one that is kept for PH3"},
		{"C2H4O", "N2", fits + "C2H4O", "replaced or released by the site's procedure"},
	} {
		found := lastGasFaults(strings.Fields(c.now), "R-05", strings.Fields(c.last), true)
		if c.says == "" {
			none(t, found)
			continue
		}
		oneFault(t, found, "", "R24", problem.Stop, c.says, c.advice)
		if found[0].Text != c.says || found[0].Subject != "R-05" {
			t.Errorf("%s after %s: %+v", c.now, c.last, found[0])
		}
	}
}

// S40 and S90: the regulator fits the outlet of CL and is stainless, and it was last used on NH3. Where it does not fit either,
// nobody says that it does.
func TestFitsAndDoesNotSuit(t *testing.T) {
	r := &Regulator{Code: "R-05", Inlet: "CGA C-10", MaxBar: 103, Flow: 1000, Body: "stainless", LastGas: []string{"NH3"}}
	cl := Bottle{Gas: ofGas("Cl2 N2"), Outlet: "CGA C-10", FillBar: 69}
	chlorine := []Instruments{{Model: "CHLOR-1", Sampling: Diffusion, FlowOne: 1000}}
	found := Fittings(Test{Purpose: Bump}, cl, Set{Regulator: r, Tubing: &Tubing{Code: "T-02", Material: "PTFE", Length: 500, LastGas: []string{"NH3"}}}, chlorine, figures)
	if len(found) != 2 || found[0].Subject != "R-05" || found[1].Subject != "T-02" || found[0].Text != "fits, but was last used on NH3" || found[1].Text != found[0].Text {
		t.Errorf("got %+v", found)
	}
	cl.Outlet = "CGA 600"
	found = Fittings(Test{Purpose: Bump}, cl, Set{Regulator: r}, chlorine, figures)
	if len(found) != 2 || found[1].Text != "was last used on NH3" {
		t.Errorf("got %+v", found)
	}
}

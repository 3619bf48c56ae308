package fit

import (
	"slices"
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

func ofGas(formulas string) Gas {
	var g Gas
	for _, formula := range strings.Fields(formulas) {
		g.Parts = append(g.Parts, Part{Component: formula, Formula: formula})
	}
	return g
}

func TestBodyPerComponent(t *testing.T) {
	for name, c := range map[string]struct {
		gas, body string
		exact     problem.Severity // "" where nothing is against it
		says      string
	}{
		"stainless for everything":     {"Cl2 NO H2S N2", "stainless", "", ""},
		"as people write it":           {"Cl2 N2", " Stainless-Steel ", "", ""},
		"nickel for H2S":               {"CH4 O2 CO H2S N2", "nickel plated", "", ""},
		"brass for methane":            {"CH4 air", "brass", "", ""},
		"S39: brass for Cl2":           {"Cl2 N2", "brass", problem.Stop, "is brass, which is not for Cl2; permitted is stainless"},
		"the strictest component":      {"H2S NO N2", "nickel-plated", problem.Stop, "is nickel-plated, which is not for NO; permitted is stainless"},
		"every component that refuses": {"SO2 H2S N2", "Brass", problem.Stop, "is not for SO2, H2S; permitted is nickel-plated or stainless"},
		"a body that nobody knows":     {"N2", "aluminium", problem.Ask, `does not name "aluminium"`},
		"a gas that nobody knows":      {"COS N2", "stainless", problem.Ask, "no row for COS"},
		"not said, and all may be":     {"CH4 N2", "", "", ""},
	} {
		for _, purpose := range []Purpose{Calibration, Bump} {
			found := bodyFaults(Test{Purpose: purpose}, ofGas(c.gas).contact(), &Regulator{Code: "R-05", Body: c.body})
			if c.exact == "" {
				none(t, found)
				continue
			}
			t.Run(name, func(t *testing.T) { oneFault(t, found, "regulator_material", "R24", c.exact, c.says) })
		}
	}
}

func TestBodyThatNobodySaid(t *testing.T) {
	unsaid := &Regulator{Code: "R-05"}
	oneFault(t, bodyFaults(Test{Purpose: Calibration}, ofGas("H2S N2").contact(), unsaid), "regulator_material", "R24", problem.Ask, "not every one is for H2S", "nickel-plated or stainless")
	oneFault(t, bodyFaults(Test{Purpose: Bump}, ofGas("H2S N2").contact(), unsaid), "regulator_material", "R24", problem.Note, "not entered")
}

func TestTubingPerComponent(t *testing.T) {
	for name, c := range map[string]struct {
		gas, tubing string
		exact, bump problem.Severity
		says        string
	}{
		"PTFE for everything":           {"Cl2 NO H2S nC5H12 N2", "PTFE", "", "", ""},
		"as people write it":            {"H2S N2", "fep", "", "", ""},
		"PVC for methane":               {"CH4 O2 CO air", "PVC", "", "", ""},
		"S39: PVC for Cl2":              {"Cl2 N2", "PVC", problem.Stop, problem.Stop, "is of PVC, which is not for Cl2; permitted is FEP, PFA or PTFE"},
		"S39: PVC for H2S":              {"CH4 H2S N2", "PVC", problem.Ask, problem.Ask, "takes up H2S at first: longer exposure"},
		"silicone for H2S":              {"CH4 H2S N2", "silicone", problem.Stop, problem.Stop, "not for H2S"},
		"silicone for methane":          {"CH4 N2", "silicone", problem.Ask, problem.Ask, "CH4, N2 at first: longer exposure"},
		"of which the table is silent":  {"H2S", "polyurethane", problem.Ask, problem.Ask, "says nothing for H2S"},
		"a material that nobody knows":  {"N2", "nylon", problem.Ask, problem.Ask, `does not name "nylon"`},
		"a gas that nobody knows":       {"COS N2", "PTFE", problem.Ask, problem.Ask, "no row for COS"},
		"a material that is not said":   {"N2", " ", problem.Ask, problem.Note, "is not entered"},
		"the balance counts like a gas": {"H2S", "PVC", problem.Ask, problem.Ask, "H2S"},
	} {
		t.Run(name, func(t *testing.T) {
			for purpose, want := range map[Purpose]problem.Severity{Calibration: c.exact, Bump: c.bump} {
				found := materialFaults(Test{Purpose: purpose}, ofGas(c.gas).contact(), &Tubing{Code: "T-02", Material: c.tubing})
				if want == "" {
					none(t, found)
					continue
				}
				oneFault(t, found, "tubing_material", "R24", want, c.says)
			}
		})
	}
}

func TestBalanceTouchesTheTubingToo(t *testing.T) {
	g := Gas{Parts: []Part{{Component: "METHANE", Formula: "CH4"}}, Balance: "H2S"}
	oneFault(t, materialFaults(Test{}, g.contact(), &Tubing{Code: "T-02", Material: "rubber"}), "tubing_material", "R24", problem.Stop, "not for H2S")
	oneFault(t, lengthFaults(Test{}, g.contact(), &Tubing{Code: "T-02", Length: 2001}), "tubing_length", "R24", problem.Stop, "H2S")
}

func TestLengthByTheStrictestComponent(t *testing.T) {
	for _, c := range []struct {
		gas    string
		length unit.Length
		says   string // "" where it is short enough
	}{
		{"CH4 N2", 5000, ""}, {"CH4 N2", 5001, "5.001 m long, 5 m at most is permitted for CH4, N2"},
		{"CH4 H2S N2", 2000, ""}, {"CH4 H2S N2", 2001, "2 m at most is permitted for H2S"},
		{"Cl2 N2", 1000, ""}, {"H2S Cl2", 1001, "1 m at most is permitted for Cl2"}, {"COS", 90_000, ""},
	} {
		x := &Tubing{Code: "T-02", Length: c.length}
		none(t, lengthFaults(Test{Purpose: Line}, ofGas(c.gas).contact(), x))
		for purpose, severity := range map[Purpose]problem.Severity{Calibration: problem.Stop, Zero: problem.Stop, Bump: problem.Ask} {
			if found := lengthFaults(Test{Purpose: purpose}, ofGas(c.gas).contact(), x); c.says == "" {
				none(t, found)
			} else {
				oneFault(t, found, "tubing_length", "R24", severity, c.says)
			}
		}
	}
}

// What a refusal offers is offered for every gas: there are a body and a tubing that all components let through.
func TestSomethingIsAlwaysPermitted(t *testing.T) {
	if len(wettedRows) == 0 {
		t.Fatal("the table is empty")
	}
	for formula, row := range wettedRows {
		if !slices.Contains(row.Bodies, "stainless") || !slices.Contains(row.TubingOK, "PTFE") || row.MaxLengthM <= 0 {
			t.Errorf("%s: %+v", formula, row)
		}
	}
	for other, word := range otherNames {
		if !slices.Contains(slices.Concat(bodies, tubings), word) || material(other) != word {
			t.Errorf("%s is read as %q", other, material(other))
		}
	}
}

package fit

import (
	"cmp"
	"slices"
	"strings"
)

// clinging are the strongly adsorbing gases, those that lines hold longest last.
var clinging = []string{"COS", "H2S", "SO2", "PH3", "C2H4O", "HCN", "ClO2", "NO2", "Cl2", "NH3", "HCl", "HF"}

// Turn is one gas in the order of work.
type Turn struct {
	Purpose Purpose
	Gas     Gas
	Step    int64 // its place by the procedure; 0 where that says nothing
}

// Steps puts the gases of a session in the order of rule R17b and writes it in words: zero first, the gas of several channels next,
// then the single ones, the most adsorbing last. The procedures' own order wins.
func Steps(turns []Turn, m []Instruments) []string {
	ordered := slices.Clone(turns)
	slices.SortStableFunc(ordered, func(a, b Turn) int {
		return cmp.Or(cmp.Compare(a.Step, b.Step), cmp.Compare(a.rank(), b.rank()))
	})
	var steps []string
	if needsZero(ordered) {
		steps = append(steps, "zero first, in clean air: no exhaust, no solvent, no silicone near"+nitrogenToo(m))
	}
	for _, t := range ordered {
		steps = append(steps, t.words())
	}
	if len(ordered) > 1 {
		steps = append(steps, "next gas when all channels are back within their zero limit")
	}
	return steps
}

// needsZero tells whether something is adjusted or checked without a turn that zeroes it.
func needsZero(turns []Turn) bool {
	zeroed := slices.ContainsFunc(turns, func(t Turn) bool { return t.Purpose == Zero })
	return !zeroed && slices.ContainsFunc(turns, func(t Turn) bool { return t.Purpose.compares() })
}

func nitrogenToo(m []Instruments) string {
	withNitrogen := func(i Instruments) bool { return i.NitrogenZero }
	if len(m) == 0 || slices.ContainsFunc(m, func(i Instruments) bool { return !withNitrogen(i) }) {
		return ""
	}
	return " (or in nitrogen, as the manual allows)"
}

// rank sorts the gases where the procedures do not: zero, several components, one, and one that adsorbs by how strongly it does.
func (t Turn) rank() int {
	measured := slices.DeleteFunc(slices.Clone(t.Gas.Parts), func(p Part) bool { return p.Formula == oxygenFormula })
	switch {
	case t.Purpose == Zero:
		return 0
	case len(measured) > 1:
		return 1
	case len(measured) == 0 || !measured[0].Adsorbs:
		return 2
	}
	return 4 + slices.Index(clinging, measured[0].Formula)
}

func (t Turn) words() string {
	names := make([]string, len(t.Gas.Parts))
	for i, p := range t.Gas.Parts {
		names[i] = p.Component
	}
	if len(names) == 0 {
		names = []string{t.Gas.Balance}
	}
	verb := map[Purpose]string{Bump: "bump", Line: "check the lines", Zero: "zero", Check: "check"}[t.Purpose]
	return cmp.Or(verb, "calibrate") + " with " + strings.TrimSpace(t.Gas.Label+" ("+strings.Join(names, ", ")+")")
}

package fit

import (
	"slices"

	"spanroom/internal/problem"
)

// Gases that share what is dedicated to one of them.
var together = []string{"Cl2", "HCl", "HF"}

// dedicated gives those of the gases that need a set of their own.
func dedicated(formulas []string) []string {
	return slices.DeleteFunc(slices.Clone(formulas), func(formula string) bool {
		row, known := wettedRows[formula]
		return !known || !row.Dedicated
	})
}

// Dedicated tells whether the gas needs a regulator set that nothing else goes through.
func (g Gas) Dedicated() bool { return len(dedicated(g.contact().formulas)) > 0 }

// classes are the sets that the gases need, each once.
func classes(formulas []string) []string {
	all := dedicated(formulas)
	for i, formula := range all {
		if slices.Contains(together, formula) {
			all[i] = together[0]
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// lastGasFaults stops a part that was last used on another class of gas, where one of the two is dedicated (rule R24). Who does
// not know the last gas is told nothing.
func lastGasFaults(now []string, subject string, last []string, fits bool) []fault {
	if len(last) == 0 || slices.Equal(classes(now), classes(last)) {
		return nil
	}
	culprits := dedicated(last)
	if len(culprits) == 0 {
		culprits = last
	}
	text := "was last used on " + list(culprits)
	if fits {
		text = "fits, but " + text
	}
	keep := "one that is kept for " + list(dedicated(now))
	if len(dedicated(now)) == 0 {
		keep = "one that was not used on it"
	}
	return []fault{{"", problem.Finding{
		Rule: "R24", Severity: problem.Stop, Subject: subject, Text: text,
		Advice: "take " + keep + ", or have this one replaced or released by the site's procedure, then enter it as serviced in the catalogue",
	}}}
}

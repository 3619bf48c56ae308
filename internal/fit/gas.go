package fit

import (
	"fmt"
	"slices"

	"spanroom/internal/problem"
)

// The strongly adsorbing gases, from the two tables: those that the shelf-life table gives six months or less without a supplier's
// date. Each of them that has a row of materials refuses plain brass there. NO also refuses brass, but keeps its value for a year
// and more, so it is not among them.
var adsorbing = []string{"Cl2", "HCl", "HF", "NO2", "HCN", "PH3", "ClO2", "NH3", "C2H4O", "SO2", "H2S", "COS"}

// Adsorbs tells whether a gas sticks to walls, so that lines need conditioning and the last of a cylinder is not to be trusted.
// The site may say otherwise in its component table.
func Adsorbs(component string) bool { return slices.Contains(adsorbing, component) }

// pairs are the components that do not keep each other's company (rule R5d).
var pairs = []struct {
	a, b     string
	severity problem.Severity
}{
	{"NH3", "Cl2", problem.Stop},
	{"NH3", "HCl", problem.Stop},
	{"H2S", "Cl2", problem.Stop},
	{"H2S", "SO2", problem.Ask},
	{"NO", "air", problem.Ask},
	{"NO", "O2", problem.Ask},
}

// Reacts finds the pairs of a blend that react with each other, its balance included: a stop where they surely do, an ask where it is doubtful.
func Reacts(components []string) []problem.Finding {
	var found []problem.Finding
	for _, p := range pairs {
		if !slices.Contains(components, p.a) || !slices.Contains(components, p.b) {
			continue
		}
		f := problem.Finding{
			Rule: "R5d", Severity: p.severity, Subject: p.a + " + " + p.b,
			Text:   fmt.Sprintf("%s and %s react with each other", p.a, p.b),
			Advice: "compare with the certificate; they are not bottled together",
		}
		if p.severity == problem.Ask {
			f.Text = fmt.Sprintf("%s and %s may react with each other", p.a, p.b)
			f.Advice = "ask the gas supplier whether the blend is stable, and give that as the reason"
		}
		found = append(found, f)
	}
	return found
}

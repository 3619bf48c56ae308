package fit

import "strings"

// weights are the molar masses of common combustibles in g/mol, by formula and by name, isomers under one: enough to tell which of
// two gases is the heavier.
var weights = map[string]float64{
	"h2": 2, "hydrogen": 2,
	"ch4": 16, "methane": 16,
	"nh3": 17, "ammonia": 17,
	"c2h2": 26, "acetylene": 26, "ethyne": 26,
	"co": 28, "carbon monoxide": 28,
	"c2h4": 28, "ethylene": 28, "ethene": 28,
	"c2h6": 30, "ethane": 30,
	"ch3oh": 32, "methanol": 32,
	"c3h6": 42, "propylene": 42, "propene": 42,
	"c3h8": 44, "propane": 44,
	"c2h4o": 44, "ethylene oxide": 44,
	"c2h5oh": 46, "ethanol": 46,
	"c4h8": 56, "butylene": 56, "butene": 56,
	"c4h10": 58, "butane": 58,
	"c3h6o": 58, "acetone": 58,
	"c3h8o": 60, "propanol": 60,
	"c5h12": 72, "pentane": 72,
	"c4h8o": 72, "butanone": 72,
	"c6h6": 78, "benzene": 78,
	"c6h12": 84, "cyclohexane": 84,
	"c6h14": 86, "hexane": 86,
	"c4h8o2": 88, "ethyl acetate": 88,
	"c7h8": 92, "toluene": 92,
	"c7h16": 100, "heptane": 100,
	"c8h10": 106, "xylene": 106,
	"c8h18": 114, "octane": 114,
	"c9h20": 128, "nonane": 128,
}

// weight gives the molar mass of a gas by its formula or name; false for one that is not in the table.
func weight(gas string) (float64, bool) {
	name := strings.ToLower(strings.TrimSpace(gas))
	for _, prefix := range []string{"", "n-", "iso-", "iso", "n", "i"} {
		if rest, ok := strings.CutPrefix(name, prefix); ok {
			if w, known := weights[rest]; known {
				return w, true
			}
		}
	}
	return 0, false
}

// heavier tells whether the displayed gas is known to be heavier than the cylinder's.
func heavier(shown, cylinder string) bool {
	s, known := weight(shown)
	c, both := weight(cylinder)
	return known && both && s > c
}

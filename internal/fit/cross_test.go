package fit

import "testing"

func TestCrossSensitivity(t *testing.T) {
	filterless := monitors4()
	filterless.Cross = []Cross{{"CO", []string{"H2S", "H2"}, true}, {"CO", []string{"CH4"}, false}, {"CH4", []string{"CO", "H2S"}, false}, {"H2S", []string{"CH4", "CO"}, false}}
	for _, p := range []Purpose{Check, Calibration} {
		tells(t, string(p), match(p, fourGas(), filterless),
			"stop R17 D-001, D-002 CO: H2S in the gas adds to the CO channel, which would be set low: it would then read low, nobody can say how far | set CO with a gas without H2S")
	}
	for _, p := range []Purpose{Bump, Line} {
		tells(t, string(p), match(p, fourGas(), filterless), "note R17 D-001, D-002 CO: H2S in the gas adds to the CO channel: its alarm is no proof that it answers to CO")
	}
	single := inNitrogen(part("O2", 18*vol, 0), part("H2S", 25*ppm, 0))
	tells(t, "a channel that this gas does not set", match(Calibration, single, filterless),
		"note R17 D-001, D-002 CO: H2S in the gas adds to the CO channel, whose alarm may sound | leave CO as it is with this gas", "note R17 ... not covered")
}

func TestCrossSensitivityThatNobodyListed(t *testing.T) {
	m := monitors4()
	m.Cross = m.Cross[2:]
	tells(t, "named in one note", match(Calibration, fourGas(), m),
		"note R17 D-001, D-002 EX, CO: no cross-sensitivity is listed for CO, H2S on EX; CH4, H2S on CO | see the manual's table")
	tells(t, "not on a bump", match(Bump, fourGas(), m))
}

func TestCrossTablesMayNameFormulas(t *testing.T) {
	m := monitors4()
	m.Cross = append(m.Cross, Cross{"CO", []string{"H2"}, true})
	hydrogen := part("HYDROGEN", 100*ppm, 0)
	hydrogen.Formula = "H2"
	tells(t, "H2", match(Check, fourGas().with(hydrogen), m), "stop R17 ... HYDROGEN in the gas adds to the CO channel", "note R17 ... HYDROGEN on EX; HYDROGEN on H2S")
}

func TestOneRowThatInterferesIsEnough(t *testing.T) {
	m := monitors4()
	m.Cross = append([]Cross{{"CO", []string{"H2S"}, true}}, m.Cross...)
	tells(t, "contradicted below", match(Check, fourGas(), m), "stop R17 D-001, D-002 CO: H2S in the gas")
}

func TestCleanAirChannelsAreNotSetByTheGas(t *testing.T) {
	m := monitors4()
	m.Cross = append(m.Cross, Cross{"O2", []string{"CO"}, true})
	tells(t, "interference on it", match(Calibration, fourGas(), m))
}

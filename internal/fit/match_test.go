package fit

import (
	"slices"
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

const (
	ppm = unit.Amount(1_000)
	vol = unit.Amount(10_000_000)
)

var (
	site     = Policy{MatchPct: 5, MatchOxygenVol: 0.3, BumpMargin: 1.1, CatalyticOxygen: 10}
	purposes = []Purpose{Bump, Line, Zero, Check, Calibration}
	gases    = map[string]bool{"H2S": true, "NH3": true, "Cl2": true} // that adsorb
)

func amount(n float64, of unit.Amount) unit.Amount { return unit.Amount(n*float64(of) + 0.5) }

func part(component string, a, uncertainty unit.Amount) Part {
	return Part{Component: component, Formula: component, Amount: a, Uncertainty: uncertainty, Adsorbs: gases[component]}
}

func inNitrogen(parts ...Part) Gas { return Gas{Label: "Q4-0117", Parts: parts, Balance: "N2"} }

// fourGas is the mixture that the four-gas monitors are set to.
func fourGas() Gas {
	return inNitrogen(part("CH4", 25*vol/10, vol/20), part("O2", 18*vol, vol/10), part("CO", 100*ppm, 2*ppm), part("H2S", 25*ppm, ppm/2))
}

// with gives the gas with another part in place of the one of that component, or beside the others.
func (g Gas) with(p Part) Gas {
	g.Parts = slices.DeleteFunc(slices.Clone(g.Parts), func(o Part) bool { return o.Component == p.Component })
	g.Parts = append(g.Parts, p)
	return g
}

func given(a unit.Amount) Level { return Level{Amount: a, Given: true} }
func lel(percent float64) Level { return Level{LEL: percent, InLEL: true, Given: true} }

func toxic(component string, set, low, high unit.Amount) Channel {
	return Channel{Component: component, Set: given(set), LowAlarm: given(low), HighAlarm: given(high), Sensor: "electrochemical"}
}

func methane(basis unit.Amount) Channel {
	return Channel{Component: "CH4", Name: "EX", Set: lel(50), LowAlarm: lel(10), HighAlarm: lel(20), Range: lel(100),
		Sensor: catalytic, Scale: &Scale{LEL: basis, Basis: "IEC 60079-20-1"}}
}

func oxygen() Channel {
	return Channel{Component: "O2", LowAlarm: given(195 * vol / 10), HighAlarm: given(235 * vol / 10), CleanAir: true}
}

// monitors4 are four-gas monitors as the site has them: nothing is against fourGas on them.
func monitors4() Instruments {
	return Instruments{
		Serials: []string{"D-001", "D-002"}, Model: "DIFF-4", MaySet: true,
		Channels: []Channel{methane(5 * vol), oxygen(), toxic("CO", 100*ppm, 30*ppm, 60*ppm), toxic("H2S", 25*ppm, 10*ppm, 15*ppm)},
		Cross:    []Cross{{"CH4", []string{"CO", "H2S"}, false}, {"CO", []string{"CH4", "H2S"}, false}, {"H2S", []string{"CH4", "CO"}, false}},
	}
}

func (m Instruments) channel(component string, change func(*Channel)) Instruments {
	m.Channels = slices.Clone(m.Channels)
	for i := range m.Channels {
		if m.Channels[i].Component == component {
			change(&m.Channels[i])
		}
	}
	return m
}

func match(p Purpose, g Gas, m ...Instruments) []problem.Finding {
	return Match(Test{Purpose: p}, g, m, site)
}

// tells checks that exactly these findings are told, each written "severity rule subject: words ... words | advice".
func tells(t *testing.T, name string, found []problem.Finding, want ...string) {
	t.Helper()
	if len(found) != len(want) {
		t.Errorf("%s: told %d findings, want %d: %+v", name, len(found), len(want), found)
		return
	}
	for i, f := range found {
		told := string(f.Severity) + " " + f.Rule + " " + f.Subject + ": " + f.Text + " | " + f.Advice
		for _, words := range strings.Split(want[i], " ... ") {
			_, rest, ok := strings.Cut(told, words)
			if !ok {
				t.Errorf("%s: %q is not in order in %q", name, words, told)
			}
			told = rest
		}
	}
}

func TestNothingAgainstIt(t *testing.T) {
	for _, p := range []Purpose{Bump, Line, Check, Calibration} {
		tells(t, string(p), match(p, fourGas(), monitors4()))
	}
	tells(t, "zero air", match(Zero, Gas{Label: "ZA", Balance: "air"}, monitors4()))
	tells(t, "no instruments", match(Calibration, fourGas()))
}

func TestChannelsThatTheGasDoesNotCover(t *testing.T) {
	h2s := inNitrogen(part("O2", 18*vol, 0), part("H2S", 25*ppm, ppm/2))
	tells(t, "calibration", match(Calibration, h2s, monitors4()),
		"note R17 D-001, D-002 EX, CO: not covered: needs a gas with CH4, CO")
	tells(t, "bump", match(Bump, h2s, monitors4()),
		"note R18 D-001, D-002 EX, CO: not covered: needs a gas with CH4, CO")
}

func TestSubjects(t *testing.T) {
	many := []string{"D-1", "D-2", "D-3", "D-4", "D-5"}
	for _, c := range []struct {
		serials        []string
		model, channel string
		want           string
	}{
		{many[:1], "DIFF-4", "CH4", "D-1 CH4"},
		{many[:4], "DIFF-4", "", "D-1, D-2, D-3, D-4"},
		{many, "DIFF-4", "CH4", "5 × DIFF-4 CH4"},
		{many, "", "", "5 instruments"},
		{nil, "DIFF-4", "CH4", "DIFF-4 CH4"},
	} {
		if got := (&Instruments{Serials: c.serials, Model: c.model}).subject(c.channel); got != c.want {
			t.Errorf("subject %q, want %q", got, c.want)
		}
	}
}

func TestTheWorstIsToldFirst(t *testing.T) {
	m := monitors4()
	m.Connected, m.Unconfirmed = true, "sensor changed on 1 Mar 2027"
	found := match(Calibration, fourGas().with(part("H2S", 232*ppm/10, ppm/2)), m)
	tells(t, "all at once", found, "stop R17", "ask R28", "note R56")
}

func BenchmarkMatchNothingAgainstIt(b *testing.B) {
	g, m := fourGas(), []Instruments{monitors4(), monitors4(), monitors4()}
	for b.Loop() {
		Match(Test{Purpose: Calibration}, g, m, site)
	}
}

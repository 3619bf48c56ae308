package fit

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

var components = []string{"CH4", "C3H8", "CO", "CO2", "H2S", "NH3", "Cl2", "O2"}

func anyGas(t *rapid.T) Gas {
	g := Gas{Label: "X", Balance: rapid.SampledFrom([]string{"N2", "air", "Ar", ""}).Draw(t, "balance")}
	for _, component := range components {
		if rapid.Bool().Draw(t, "has "+component) {
			a := unit.Amount(rapid.Int64Range(0, 250_000).Draw(t, "amount")) * ppm
			g.Parts = append(g.Parts, part(component, a, a*unit.Amount(rapid.Int64Range(0, 20).Draw(t, "percent"))/100))
		}
	}
	return g
}

func anyLevel(t *rapid.T, inLEL bool) Level {
	l := Level{Given: rapid.Bool().Draw(t, "given"), InLEL: inLEL}
	if inLEL {
		l.LEL = rapid.Float64Range(0.1, 100).Draw(t, "lel")
	} else {
		l.Amount = unit.Amount(rapid.Int64Range(1, 250_000).Draw(t, "level")) * ppm
	}
	return l
}

func anyChannel(t *rapid.T, component string) Channel {
	inLEL := strings.HasPrefix(component, "C") && strings.Contains(component, "H") && rapid.Bool().Draw(t, "in %LEL")
	c := Channel{Component: component, CleanAir: rapid.Bool().Draw(t, "clean air"), T90: unit.Seconds(rapid.IntRange(0, 60).Draw(t, "t90")),
		Set: anyLevel(t, inLEL), LowAlarm: anyLevel(t, inLEL), HighAlarm: anyLevel(t, inLEL), Range: anyLevel(t, inLEL),
		Sensor: rapid.SampledFrom([]string{"", "electrochemical", catalytic, "infrared"}).Draw(t, "sensor")}
	if rapid.Bool().Draw(t, "scaled") {
		c.Scale = &Scale{Shown: rapid.SampledFrom([]string{"", "pentane", component}).Draw(t, "shown"), LEL: unit.Amount(rapid.Int64Range(0, 5).Draw(t, "basis")) * vol,
			Factor: PrintedFactor{rapid.Float64Range(0.2, 3).Draw(t, "factor"), Multiplier}, HasFactor: rapid.Bool().Draw(t, "has factor")}
	}
	return c
}

func anyInstruments(t *rapid.T) Instruments {
	m := Instruments{Serials: []string{"X-1"}, Model: "X", MaySet: rapid.Bool().Draw(t, "may set"), NitrogenZero: rapid.Bool().Draw(t, "nitrogen zero"),
		Unconfirmed: rapid.SampledFrom([]string{"", "sensor changed"}).Draw(t, "unconfirmed"), Connected: rapid.Bool().Draw(t, "connected")}
	for _, component := range components {
		if len(m.Channels) == 0 || rapid.Bool().Draw(t, "measures "+component) {
			m.Channels = append(m.Channels, anyChannel(t, component))
			others := rapid.SliceOfDistinct(rapid.SampledFrom(components), rapid.ID[string]).Draw(t, "others")
			m.Cross = append(m.Cross, Cross{component, others, rapid.Bool().Draw(t, "interferes")})
		}
	}
	return m
}

func anyTest(t *rapid.T) Test {
	return Test{Purpose: rapid.SampledFrom(purposes).Draw(t, "purpose"), Exposure: unit.Seconds(rapid.IntRange(0, 60).Draw(t, "exposure")),
		LowOnly: rapid.Bool().Draw(t, "low only")}
}

// hardness ranks a verdict, nothing lowest.
func hardness(found []problem.Finding) int {
	return map[problem.Severity]int{"": 0, problem.Note: 1, problem.Ask: 2, problem.Stop: 3}[problem.Worst(found)]
}

func notMilder(t *rapid.T, what string, before, after []problem.Finding) {
	if hardness(after) < hardness(before) {
		t.Fatalf("%s makes it milder: %+v, then %+v", what, before, after)
	}
}

// A wider certificate makes no bump surer; on a calibration it only ever helps a strongly adsorbing gas, which the rule says.
func TestWiderUncertaintyIsNeverMilder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		test, g, m := anyTest(t), anyGas(t), anyInstruments(t)
		wider := Gas{Balance: g.Balance}
		for _, p := range g.Parts {
			if !p.Adsorbs || !test.Purpose.compares() {
				p.Uncertainty += unit.Amount(rapid.Int64Range(0, 100_000).Draw(t, "wider")) * ppm
			}
			wider.Parts = append(wider.Parts, p)
		}
		notMilder(t, "a wider certificate", Match(test, g, []Instruments{m}, site), Match(test, wider, []Instruments{m}, site))
	})
}

func TestSetValuesFartherAwayAreNeverMilder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, m := anyGas(t), anyInstruments(t)
		near := rapid.Float64Range(1, 2).Draw(t, "near")
		far := near * rapid.Float64Range(1, 2).Draw(t, "farther")
		up := rapid.Bool().Draw(t, "up")
		setOff := func(by float64) []problem.Finding {
			if !up {
				by = 1 / by
			}
			m := m
			for _, c := range m.Channels {
				if exact, known := c.certified(g); known && exact.value() > 100 {
					m = m.channel(c.Component, func(c *Channel) { c.Set, c.Range = levelOf(exact.value()*by, exact.InLEL), Level{} })
				}
			}
			return match(Calibration, g, m)
		}
		notMilder(t, "a set value farther away", setOff(near), setOff(far))
	})
}

// An instrument that is set to the cylinder in hand is never stopped for its set value.
func TestSetToTheCertifiedValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, m := anyGas(t), anyInstruments(t)
		m.Cross = nil
		for i := range m.Channels {
			c := &m.Channels[i]
			c.Range, c.Sensor = Level{}, ""
			if exact, known := c.certified(g); known {
				c.Set = exact
			}
		}
		for _, f := range match(Calibration, g, m) {
			if f.Severity == problem.Stop && !strings.Contains(f.Text, "not known") {
				t.Fatalf("%+v", f)
			}
		}
	})
}

func TestMoreToGoWrongIsNeverMilder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		test, g, m := anyTest(t), anyGas(t), anyInstruments(t)
		before := Match(test, g, []Instruments{m}, site)

		on := rapid.SampledFrom(m.Channels).Draw(t, "on").Component
		bad := m
		bad.Cross = append([]Cross{{on, []string{"H2"}, true}}, m.Cross...)
		notMilder(t, "an interfering gas", before, Match(test, g.with(part("H2", 50*ppm, 0)), []Instruments{bad}, site))

		more := m
		more.Channels = append([]Channel{anyChannel(t, "HCN")}, m.Channels...)
		notMilder(t, "a further channel", before, Match(test, g, []Instruments{more}, site))
		notMilder(t, "a further group", before, Match(test, g, []Instruments{m, anyInstruments(t)}, site))
	})
}

// Channels that clean air spans say nothing on a calibration, except that an oxygen alarm will sound.
func TestCleanAirChannelsNeverSpeak(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, m := anyGas(t), anyInstruments(t)
		m.Unconfirmed, m.Connected = "", false
		for i := range m.Channels {
			m.Channels[i].CleanAir = true
		}
		for _, f := range match(Calibration, g, m) {
			if !strings.Contains(f.Text, "the oxygen alarm will sound") {
				t.Fatalf("%+v", f)
			}
		}
	})
}

// Every finding says what to do next, and on whom it is; nothing is told twice.
func TestFindingsAreWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		test, g, m := anyTest(t), anyGas(t), anyInstruments(t)
		seen := map[problem.Finding]bool{}
		for _, f := range Match(test, g, []Instruments{m}, site) {
			if seen[f] || f.Rule == "" || !strings.HasPrefix(f.Subject, "X-1") || f.Text == "" || f.Advice == "" ||
				strings.Contains(f.Text+f.Advice, "NaN") || strings.Contains(f.Text+f.Advice, "Inf") {
				t.Fatalf("%+v", f)
			}
			seen[f] = true
			if f.Severity == problem.Stop && test.Purpose.compares() && !strings.Contains(f.Text, "it would then read") {
				t.Fatalf("it does not say what follows: %+v", f)
			}
		}
	})
}

package fit

import (
	"testing"

	"spanroom/internal/unit"
)

// shown scales the combustible channel in another gas.
func shown(gas string, factor float64, reading FactorReading) func(*Channel) {
	return func(c *Channel) {
		c.Scale = &Scale{Shown: gas, LEL: 17 * vol / 10, Factor: PrintedFactor{factor, reading}, HasFactor: factor != 0}
	}
}

// propane4 are monitors of which the combustible channel is spanned with propane.
func propane4(change func(*Channel)) Instruments {
	m := monitors4().channel("CH4", func(c *Channel) { c.Component, c.Set = "C3H8", lel(57.5) })
	m.Cross = append(m.Cross, Cross{"C3H8", []string{"CO", "H2S"}, false}, Cross{"CO", []string{"C3H8"}, false}, Cross{"H2S", []string{"C3H8"}, false})
	return m.channel("C3H8", change)
}

func propaneGas(a unit.Amount) Gas {
	return inNitrogen(part("C3H8", a, 0), part("O2", 18*vol, 0), part("CO", 100*ppm, 0), part("H2S", 25*ppm, 0))
}

func TestTheInstrumentsOwnBasis(t *testing.T) {
	older, newer := monitors4(), monitors4().channel("CH4", func(c *Channel) { c.Scale = methane(44 * vol / 10).Scale })
	newer.Serials = []string{"D-043"}
	const s32 = "stop R19 D-043 EX: CH4 2.5 %vol is 56.8 %LEL (100 %LEL is 4.4 %vol, IEC 60079-20-1): 56.8 %LEL vs 50 (+13.6 %), 5 % allowed: it would then read about 12 % low"
	for _, p := range []Purpose{Check, Calibration} {
		tells(t, "S32", match(p, fourGas(), older, newer), s32+" | take a gas of 2.2 %vol CH4, or enter 56.8 %LEL in the instrument")
	}
	newer.MaySet = false
	tells(t, "S32 fixed", match(Calibration, fourGas(), newer), s32+" | take a gas of 2.2 %vol CH4")
	tells(t, "more than all of it", match(Calibration, fourGas(), monitors4().channel("CH4", func(c *Channel) {
		c.Scale = &Scale{LEL: 50 * vol, Shown: "hexane", HasFactor: true, Factor: PrintedFactor{0.02, Multiplier}}
	})),
		"stop R19 ... | compare F, basis and set value with the manual: no gas holds enough CH4, or enter 0.1 %LEL", "ask R19 ... check its direction")
	tells(t, "none of it", match(Calibration, fourGas().with(part("CH4", 0, 0)), newer), "stop R19 ... far too high | take a gas of 2.2 %vol CH4")
	tells(t, "S32 answered", match(Calibration, fourGas().with(part("CH4", 22*vol/10, 0)), newer))
	tells(t, "the basis does not matter to a bump that is strong enough", match(Bump, fourGas(), newer))
}

func TestFactors(t *testing.T) {
	g := propaneGas(85 * vol / 100)
	tells(t, "multiplier", match(Calibration, g, propane4(shown("hexane", 1.15, Multiplier))))
	tells(t, "the same number read the other way", match(Calibration, g, propane4(shown("hexane", 1.15, RelativeResponse))),
		"stop R19 D-001, D-002 EX: C3H8 0.85 %vol is 50 %LEL (100 %LEL is 1.7 %vol) and must show 43.5 %LEL on the hexane scale (F 0.87): 43.5 %LEL vs 57.5 (-24.4 %), 5 % allowed: it would then read about 32 % high | take a gas of 1.124 %vol C3H8, or enter 43.5 %LEL",
		"ask R19 D-001, D-002 EX: F is 0.87 from C3H8 to the heavier hexane ... it would then read about 24 % low | check its direction: does the manual say that 50 %LEL C3H8 must show 43.5 on this hexane scale?")
}

func TestUnknownScales(t *testing.T) {
	g := propaneGas(85 * vol / 100)
	unknown := map[string]func(*Channel){
		"S34 factor":          shown("hexane", 0, ""),
		"reading of a factor": shown("hexane", 1.15, ""),
		"basis":               func(c *Channel) { c.Scale = &Scale{} },
		"no scale at all":     func(c *Channel) { c.Scale = nil },
	}
	for name, change := range unknown {
		for _, p := range []Purpose{Check, Calibration} {
			tells(t, name, match(p, g, propane4(change)), "stop R19 D-001, D-002 EX: ... not known ... nobody can say how far it would then read low or high")
		}
		for _, p := range []Purpose{Bump, Line} {
			tells(t, name, match(p, g, propane4(change)), "note R19 D-001, D-002 EX: ... not known ... its alarms are not compared")
		}
	}
}

func TestTheSameGasUnderItsFormula(t *testing.T) {
	m := propane4(shown("C3H8", 0, "")).channel("C3H8", func(c *Channel) { c.Component, c.Formula = "PROPANE", "C3H8" })
	g := propaneGas(85 * vol / 100)
	g.Parts[0].Component = "PROPANE"
	m.Cross = nil
	tells(t, "F is 1", match(Calibration, g, m), "stop R19 ... 50 %LEL vs 57.5 (-13.0 %)", "note R17")
}

func TestDirectionOfFactors(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Channel)
		asks   bool
	}{
		{"a heavier gas displayed", shown("pentane", 0.8, Multiplier), true},
		{"its isomer by formula", shown("nC5H12", 0.8, TrueReading), true},
		{"above 1 as a rule", shown("pentane", 1.3, Multiplier), false},
		{"a lighter gas displayed", shown("methane", 0.8, Multiplier), false},
		{"a gas that nobody has weighed", shown("jet fuel", 0.8, Multiplier), false},
		{"infrared", func(c *Channel) { shown("pentane", 0.8, Multiplier)(c); c.Sensor = "infrared" }, false},
	} {
		m := propane4(c.change).channel("C3H8", func(x *Channel) { x.Set, _ = x.certified(propaneGas(85 * vol / 100)) })
		var exact, bump []string
		if c.asks {
			exact, bump = []string{"ask R19 D-001, D-002 EX: F is 0.8 from C3H8 to the heavier"}, []string{"note R19"}
		}
		tells(t, c.name, match(Calibration, propaneGas(85*vol/100), m), exact...)
		tells(t, c.name+", bumped", match(Bump, propaneGas(85*vol/100), m), bump...)
	}
}

func TestPhotoionisation(t *testing.T) {
	pid := func(set unit.Amount) Instruments {
		return Instruments{Serials: []string{"V-1"}, Model: "PID", Channels: []Channel{{Component: "iC4H8", Name: "VOC", Set: given(set), LowAlarm: given(50 * ppm),
			HighAlarm: given(100 * ppm), Sensor: "photoionisation", Scale: &Scale{Shown: "benzene", Factor: PrintedFactor{0.5, Multiplier}, HasFactor: true}}}}
	}
	g := Gas{Parts: []Part{part("iC4H8", 100*ppm, 0)}, Balance: "air"}
	tells(t, "set to what it must show", match(Calibration, g, pid(50*ppm)))
	tells(t, "set to the label", match(Calibration, g, pid(100*ppm)),
		"stop R19 V-1 VOC: iC4H8 100 ppm must show 50 ppm on the benzene scale (F 0.5): 50 ppm vs 100 ppm (-50.0 %), 5 % allowed: it would then read about 100 % high | take a gas of 200 ppm iC4H8")
	tells(t, "alarms are on the scale too", match(Bump, g, pid(50*ppm)), "stop R18 V-1 VOC: iC4H8 100 ppm shows at least 50 ppm; the low alarm of 50 ppm needs 55 ppm")
}

func TestAboveAcrossUnits(t *testing.T) {
	c := methane(5 * vol)
	bare := Channel{Component: "CH4", Range: given(vol)}
	if bare.above(lel(100)) {
		t.Error("%LEL without a basis is compared with an amount")
	}
	for _, x := range []struct {
		level, top Level
		want       bool
	}{
		{lel(101), lel(100), true}, {lel(100), lel(100), false}, {Level{}, lel(100), false}, {lel(101), Level{}, false},
		{given(51 * vol / 10), lel(100), true}, {given(5 * vol), lel(100), false},
		{lel(101), given(5 * vol), true}, {lel(100), given(5 * vol), false},
	} {
		c.Range = x.top
		if got := c.above(x.level); got != x.want {
			t.Errorf("%+v above %+v: %v", x.level, x.top, got)
		}
	}
}

// certified is the set value that a channel needs for a gas, in the unit of its other figures; false where the gas does not span it,
// or nobody knows what must be shown.
func (c *Channel) certified(g Gas) (Level, bool) {
	part := g.part(c.Component)
	if part == nil || c.CleanAir {
		return Level{}, false
	}
	value, known := c.shows(part.Amount, c.Set.InLEL)
	return levelOf(value, c.Set.InLEL), known
}

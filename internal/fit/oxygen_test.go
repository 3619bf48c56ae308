package fit

import "testing"

func TestOxygenForCatalyticSensors(t *testing.T) {
	dry := inNitrogen(part("CH4", 25*vol/10, 0))
	catalyticOnly := func(change func(*Channel)) Instruments {
		return Instruments{Serials: []string{"G-1"}, Model: "GAS-1", MaySet: true, Channels: []Channel{methane(5 * vol)}}.channel("CH4", change)
	}
	same := func(*Channel) {}
	infrared := func(c *Channel) { c.Sensor = "infrared" }
	for _, p := range []Purpose{Check, Calibration} {
		tells(t, "S37", match(p, dry, catalyticOnly(same)),
			"stop R19 G-1 EX: CH4 in a gas with 0 %vol O2: a catalytic sensor needs 10 %vol of it to burn; it would then read high ... | take CH4 in air, or in a mixture with enough O2")
		tells(t, "S37 infrared", match(p, dry, catalyticOnly(infrared)))
	}
	for _, p := range []Purpose{Bump, Line} {
		tells(t, "bumped", match(p, dry, catalyticOnly(same)), "stop R19 G-1 EX: ... proves nothing")
	}
	tells(t, "enough", match(Calibration, dry.with(part("O2", 10*vol, 0)), catalyticOnly(same)))
	tells(t, "the model wants more", match(Calibration, dry.with(part("O2", 10*vol, 0)), catalyticOnly(func(c *Channel) { c.OxygenMin = 12 * vol })),
		"stop R19 ... with 10 %vol O2: a catalytic sensor needs 12 %vol")
	tells(t, "the model wants less", match(Calibration, dry.with(part("O2", 8*vol, 0)), catalyticOnly(func(c *Channel) { c.OxygenMin = 8 * vol })))
	dry.Balance = "air"
	tells(t, "in air", match(Calibration, dry, catalyticOnly(same)))
	dry.Balance = "O2"
	tells(t, "in oxygen", match(Calibration, dry, catalyticOnly(same)))
}

func TestTheOxygenAlarmSounds(t *testing.T) {
	m := monitors4()
	m.Channels = m.Channels[1:3] // O2 and CO
	g := inNitrogen(part("CO", 100*ppm, 0))
	for _, p := range []Purpose{Bump, Line, Check, Calibration} {
		tells(t, string(p), match(p, g, m), "note R17 D-001, D-002 O2: there is no O2 in this gas: the oxygen alarm will sound; expected")
	}
	by := m.channel("O2", func(c *Channel) { c.CleanAir, c.Set = false, given(18*vol) })
	tells(t, "which proves it", match(Bump, g, by), "note R17 ... the oxygen alarm will sound; expected")
	tells(t, "but sets nothing", match(Check, g, by), "note R17 D-001, D-002 O2: not covered: needs a gas with O2", "note R17 ... will sound")
	g.Balance = "air"
	tells(t, "in air", match(Bump, g, m))
	tells(t, "in air, where a cylinder spans it", match(Bump, g, by), "note R18 D-001, D-002 O2: not covered: needs a gas with O2")
}

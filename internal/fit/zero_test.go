package fit

import "testing"

func TestZero(t *testing.T) {
	m := monitors4()
	zeroing := m
	zeroing.NitrogenZero = true
	zeroAir := inNitrogen(part("O2", 209*vol/10, 0))
	const advice = " | zero in clean air or zero air; nitrogen only where the manual says so"
	const sounds = "note R17 D-001, D-002 O2: there is no O2 in this gas: the oxygen alarm will sound; expected"
	for _, c := range []struct {
		name string
		gas  Gas
		m    Instruments
		want []string
	}{
		{"air", Gas{Balance: "air"}, m, nil},
		{"zero air made of two", zeroAir, m, nil},
		{"nitrogen", inNitrogen(), m, []string{"stop R17b D-001, D-002: this gas is N2 with 0 %vol O2, and the manual does not zero in it" + advice, sounds}},
		{"nitrogen by the manual", inNitrogen(), zeroing, []string{sounds}},
		{"nitrogen with oxygen in it", inNitrogen(part("O2", 5*vol, 0)), zeroing, []string{"stop R17b D-001, D-002: this gas is N2 with 5 %vol O2"}},
		{"argon", Gas{Balance: "Ar"}, zeroing, []string{"stop R17b D-001, D-002: this gas is Ar", sounds}},
		{"oxygen", Gas{Balance: "O2"}, zeroing, []string{"stop R17b D-001, D-002: this gas is O2"}},
		{"nobody knows", Gas{}, zeroing, []string{"stop R17b D-001, D-002: this gas is a gas without a known balance", sounds}},
		{"a gas with what it measures", zeroAir.with(part("CO", 100*ppm, 2*ppm)), m,
			[]string{"stop R17b D-001, D-002 CO: there is CO 100 ± 2 ppm in this gas: the channel would be zeroed on it, and would then read low" + advice}},
		{"the four gases", fourGas(), zeroing, []string{"stop R17b D-001, D-002 EX, CO, H2S: there is CH4 2.5 ± 0.05 %vol"}},
		{"air that lacks oxygen", inNitrogen(part("O2", 18*vol, 0)), m, []string{"stop R17b D-001, D-002: this gas is N2 with 18 %vol O2"}},
		{"what nobody measures", zeroAir.with(part("CO2", 400*ppm, 0)), m, nil},
	} {
		want := c.want
		if c.name == "the four gases" {
			c.gas.Parts[1].Amount = 20 * vol
		}
		tells(t, c.name, match(Zero, c.gas, c.m), want...)
	}
}

func TestZeroOnWhatInterferes(t *testing.T) {
	m := monitors4()
	m.Cross = append(m.Cross, Cross{"CO", []string{"H2"}, true})
	tells(t, "H2", match(Zero, Gas{Parts: []Part{part("H2", 50*ppm, 0)}, Balance: "air"}, m), "stop R17b D-001, D-002 CO: there is H2 in this gas")
	m.Cross = []Cross{{"O2", []string{"H2"}, true}}
	tells(t, "on a channel that clean air spans", match(Zero, Gas{Parts: []Part{part("H2", 50*ppm, 0)}, Balance: "air"}, m))
}

func TestZeroOfCarbonDioxide(t *testing.T) {
	m := Instruments{Serials: []string{"K-1"}, Model: "CO2-1", NitrogenZero: true, Channels: []Channel{toxic("CO2", 5*vol/10, vol/2, 0)}}
	for _, g := range []Gas{{Balance: "air"}, inNitrogen()} {
		tells(t, g.Balance, match(Zero, g, m), "note R17b K-1 CO2: clean air holds about 400 ppm of CO2")
	}
	tells(t, "with CO2", match(Zero, Gas{Parts: []Part{part("CO2", 400*ppm, 0)}, Balance: "air"}, m), "stop R17b K-1 CO2: there is CO2 400 ppm")
}

package fit

import "testing"

func TestUnconfirmedSetValues(t *testing.T) {
	a, b, other := monitors4(), monitors4().channel("H2S", func(c *Channel) { c.Set = given(246 * ppm / 10) }), monitors4()
	a.Unconfirmed, b.Unconfirmed, other.Unconfirmed = "last confirmed 13 months ago", "sensor changed on 1 Mar 2027", "last confirmed 13 months ago"
	b.Serials, other.Serials, other.Model = []string{"D-020"}, []string{"P-001"}, "PUMP-4"
	confirmed := monitors4()
	confirmed.Serials = []string{"D-030"}
	for _, p := range []Purpose{Check, Calibration} {
		tells(t, "once for a model", match(p, fourGas(), confirmed, a, b, other),
			"ask R28 D-001, D-002, D-020: screens show EX 50 %LEL, CO 100 ppm, H2S 25 ppm; or EX 50 %LEL, CO 100 ppm, H2S 24.6 ppm? (last confirmed 13 months ago, sensor changed on 1 Mar 2027) | compare every screen",
			"ask R28 P-001: screens show EX 50 %LEL, CO 100 ppm, H2S 25 ppm? (last confirmed 13 months ago)")
	}
	for _, p := range []Purpose{Bump, Line} {
		tells(t, "not for a bump", match(p, fourGas(), a, b, other))
	}
	tells(t, "not for zero", match(Zero, Gas{Balance: "air"}, a))
	a.Channels = a.Channels[:2] // EX and O2
	tells(t, "none of its channels in the gas", match(Check, Gas{Parts: []Part{part("NH3", 50*ppm, 0)}, Balance: "air"}, a),
		"ask R28 D-001, D-002: set values to be confirmed: last confirmed 13 months ago", "note R17")
}

func TestSetValuesThatNobodyEntered(t *testing.T) {
	m := monitors4().channel("CO", func(c *Channel) { c.Set = Level{} }).channel("H2S", func(c *Channel) { c.Set = given(0) })
	tells(t, "calibration", match(Calibration, fourGas(), m), "ask R28 D-001, D-002 CO, H2S: the set value of CO, H2S is not known, so it is not compared")
	tells(t, "bump", match(Bump, fourGas(), m))
}

func TestUnknownModels(t *testing.T) {
	noModel, noChannels := monitors4(), monitors4()
	noModel.Model, noModel.Unconfirmed, noChannels.Channels = "", "never confirmed", nil
	for _, p := range []Purpose{Zero, Check, Calibration} {
		tells(t, string(p), match(p, fourGas(), noModel, noChannels),
			"ask R28 D-001, D-002: their model is not known: set values and alarms are not compared with the gas | enter the model with its channels",
			"ask R28 D-001, D-002: the channels of DIFF-4 are not known")
	}
	for _, p := range []Purpose{Bump, Line} {
		tells(t, string(p), match(p, fourGas(), noModel, noChannels), "note R28 ... model is not known", "note R28 ... channels of DIFF-4")
	}
}

func TestConnectedMonitorsAreToldOnce(t *testing.T) {
	a, b, c := monitors4(), monitors4(), monitors4()
	a.Connected, b.Connected = true, true
	b.Serials, c.Serials = []string{"D-020"}, []string{"D-030"}
	for _, p := range []Purpose{Bump, Line, Check, Calibration} {
		tells(t, string(p), match(p, fourGas(), a, b, c), "note R56 D-001, D-002, D-020: these report their alarms ... | switch to test mode, or tell the control room")
	}
	b.Serials, b.Model = []string{"P-1", "P-2", "P-3"}, "PUMP-4"
	tells(t, "two models", match(Bump, fourGas(), a, b), "note R56 5 × connected monitors: ")
}

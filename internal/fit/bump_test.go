package fit

import (
	"testing"

	"spanroom/internal/unit"
)

func TestBumpsProveAlarms(t *testing.T) {
	const both = "choose to prove the low alarm only, or take a stronger gas"
	for _, c := range []struct {
		name      string
		h2s, u    float64
		low, high float64
		lowOnly   bool
		want      []string
	}{
		{"S36", 25, 0, 10, 30, false, []string{"stop R18 D-001, D-002 H2S: H2S 25 ppm shows at least 25 ppm; the high alarm of 30 ppm needs 33 ppm (× 1.1) | " + both}},
		{"S36 low alone", 25, 0, 10, 30, true, nil},
		{"S36 no margin", 30.1, 0, 10, 30, false, []string{"stop R18 ... H2S 30.1 ppm shows at least 30.1 ppm; the high alarm of 30 ppm needs 33 ppm"}},
		{"with the margin", 33, 0, 10, 30, false, nil},
		{"the uncertainty counts", 33, 0.5, 10, 30, false, []string{"stop R18 ... H2S 33 ± 0.5 ppm shows at least 32.5 ppm"}},
		{"neither", 10, 0.5, 10, 15, false, []string{"H2S 10 ± 0.5 ppm shows at least 9.5 ppm; the low alarm of 10 ppm needs 11 ppm (× 1.1), the high alarm of 15 ppm needs 16.5 ppm (× 1.1) | take a stronger gas"}},
		{"low alone is too much", 10, 0.5, 10, 15, true, []string{"the low alarm of 10 ppm needs 11 ppm (× 1.1) | take a stronger gas"}},
		{"more doubt than gas", 1, 2, 10, 0, false, []string{"shows at least 0 ppm"}},
		{"no alarms", 1, 0, 0, 0, false, []string{"no alarm is entered that this would prove"}},
		{"the low alarm, and only a high one is known", 1, 0, 0, 30, true, []string{"no alarm is entered that this would prove"}},
		{"a high alarm alone", 1, 0, 0, 30, false, []string{"the high alarm of 30 ppm needs 33 ppm (× 1.1) | take a stronger gas"}},
	} {
		g := fourGas().with(part("H2S", amount(c.h2s, ppm), amount(c.u, ppm)))
		m := monitors4().channel("H2S", func(x *Channel) {
			x.LowAlarm, x.HighAlarm = given(amount(c.low, ppm)), given(amount(c.high, ppm))
			x.LowAlarm.Given, x.HighAlarm.Given = c.low > 0, c.high > 0
		})
		for _, p := range []Purpose{Bump, Line} {
			tells(t, c.name, Match(Test{Purpose: p, LowOnly: c.lowOnly}, g, []Instruments{m}, site), c.want...)
		}
	}
}

func TestAlarmsDoNotMatterToACalibration(t *testing.T) {
	m := monitors4().channel("H2S", func(c *Channel) { c.HighAlarm = given(100 * ppm) })
	tells(t, "check", match(Check, fourGas(), m))
}

func TestAlarmsInLEL(t *testing.T) {
	weak := fourGas().with(part("CH4", vol, 0))
	tells(t, "20 %LEL", match(Bump, weak, monitors4()),
		"stop R18 D-001, D-002 EX: CH4 1 %vol shows at least 20 %LEL; the high alarm of 20 %LEL needs 22 %LEL (× 1.1)")
	strong := fourGas().with(part("CH4", 6*vol, 0))
	tells(t, "beyond the range", match(Bump, strong, monitors4()),
		"ask R19 D-001, D-002 EX: CH4 6 %vol shows 120 %LEL, the range ends at 100 %LEL")
}

func TestBumpsProveTheLowOxygenAlarm(t *testing.T) {
	for _, c := range []struct {
		name     string
		o2, u    float64
		accuracy unit.Amount
		want     []string
	}{
		{"S93", 19.6, 0, 0, []string{"stop R18 D-001, D-002 O2: O2 19.6 %vol is up to 19.6 %vol; the low alarm needs less than 19.5 %vol | take a gas with less O2"}},
		{"as the alarm", 19.5, 0, 0, []string{"stop R18"}},
		{"below it", 19.4, 0, 0, nil},
		{"not surely", 19.4, 0.2, 0, []string{"O2 19.4 ± 0.2 %vol is up to 19.6 %vol"}},
		{"not for this accuracy", 19, 0, 5 * vol / 10, []string{"the low alarm needs less than 19.5 - 0.5 = 19 %vol"}},
		{"for this accuracy", 18.9, 0, 5 * vol / 10, nil},
	} {
		g := fourGas().with(part("O2", amount(c.o2, vol), amount(c.u, vol)))
		m := monitors4().channel("O2", func(x *Channel) { x.Accuracy = c.accuracy })
		for _, p := range []Purpose{Bump, Line} {
			tells(t, c.name, match(p, g, m), c.want...)
		}
		tells(t, c.name+", calibrated in clean air", match(Calibration, g, m))
	}
}

func TestExposure(t *testing.T) {
	m := monitors4().channel("H2S", func(c *Channel) { c.T90 = 45 }).channel("CO", func(c *Channel) { c.T90 = 35 })
	bump := func(exposure unit.Seconds, g Gas) []string {
		var told []string
		for _, f := range Match(Test{Purpose: Bump, Exposure: exposure}, g, []Instruments{m}, site) {
			told = append(told, string(f.Severity)+" "+f.Rule+" "+f.Text+" | "+f.Advice)
		}
		return told
	}
	const want = "ask R18 30 s of gas is shorter than the response time T90: CO 35 s, H2S 45 s | let it flow for 45 s, or say why less is enough"
	if got := bump(30, fourGas()); len(got) != 1 || got[0] != want {
		t.Errorf("30 s: %q", got)
	}
	for _, exposure := range []unit.Seconds{0, 45, 60} {
		if got := bump(exposure, fourGas()); got != nil {
			t.Errorf("%d s: %q", exposure, got)
		}
	}
	if got := bump(40, inNitrogen(part("O2", 18*vol, 0), part("CO", 100*ppm, 0))); len(got) != 1 {
		t.Errorf("only what the gas reaches counts: %q", got)
	}
}

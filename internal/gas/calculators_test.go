package gas

import (
	"math"
	"testing"
)

func testsLeftQuestion() TestsLeftQuestion {
	return TestsLeftQuestion{
		Composition: fourGas, WaterVolumeL: 1, GaugeBar: 69, GaugeSpanBar: 100, GaugeGrade: "ASME B", HeelGaugeBar: 2, TemperatureC: 21,
		FlowLMin: 0.5, DurationMin: 1, LossLPerTest: 0.05, TemperatureLimitK: 3, VolumeLimitPct: 2, FlowLimitPct: 10,
		Reference: "70F_1atm", AtmosphericBar: 1.01325,
	}
}

func TestCalculatorsNameEveryWrongField(t *testing.T) {
	_, err := CalcZ(ZQuestion{Composition: Mix{"N2": 2}, TemperatureK: -1, PressureBarAbs: math.NaN()})
	wantFields(t, err, "composition.N2", "temperature_k", "pressure_bar_abs")

	_, err = CalcContents(ContentsQuestion{Composition: Mix{"N2": 0.5}, GaugeBar: -1})
	wantFields(t, err, "composition", "reference", "gauge_bar", "temperature_k", "water_volume_l", "atmospheric_bar")

	_, err = CalcCondensation(CondensationQuestion{Fraction: 2})
	wantFields(t, err, "component", "fraction", "temperature_k")

	_, err = CalcTestsLeft(TestsLeftQuestion{
		Composition: Mix{"N2": math.Inf(1)}, GaugeBar: -1, TemperatureC: -300, HeelGaugeBar: -1, LossLPerTest: -1,
		TemperatureLimitK: -1, VolumeLimitPct: -1, FlowLimitPct: -1, DurationLimitPct: -1,
	})
	wantFields(t, err, "composition.N2", "reference", "gauge_grade", "gauge_span_bar", "gauge_bar", "temperature_c", "water_volume_l", "atmospheric_bar",
		"heel_gauge_bar", "temperature_limit_k", "volume_limit_pct", "flow_l_min", "duration_min", "loss_l_per_test", "flow_limit_pct", "duration_limit_pct")
}

// A refusal is an answer: it says so, why, and holds no value.
func TestCalculatorsAnswerARefusal(t *testing.T) {
	unknown := Mix{"N2": 0.9, "SiH4": 0.1}
	z, errZ := CalcZ(ZQuestion{unknown, 293, 10})
	contents, errContents := CalcContents(ContentsQuestion{Mix{"CO2": 1}, 1, 56.3, 293.15, 1.01325, "15C_1atm"})
	condensation, errCondensation := CalcCondensation(CondensationQuestion{"SiH4", 0.1, 10, 293})
	liquid := testsLeftQuestion()
	liquid.Composition, liquid.GaugeBar, liquid.TemperatureC = Mix{"CO2": 1}, 56.3, 20
	left, errLeft := CalcTestsLeft(liquid)
	for name, c := range map[string]struct {
		answer any
		err    error
		value  string
	}{
		"z": {z, errZ, "z"}, "contents": {contents, errContents, "free_litres"},
		"condensation": {condensation, errCondensation, "risk"}, "tests left": {left, errLeft, "tests"},
	} {
		if c.err != nil {
			t.Errorf("%s: %v", name, c.err)
		}
		got := asJSON(t, c.answer)
		if got["refused"] != true || got["reason"] == "" || got["reason"] == nil || got["advice"] == nil || got[c.value] != nil {
			t.Errorf("%s: got %v", name, got)
		}
	}
}

func TestWrongFieldsComeBeforeARefusal(t *testing.T) {
	_, err := CalcContents(ContentsQuestion{Mix{"N2": 0.9, "SiH4": 0.1}, 1, -5, 293.15, 1.01325, "15C_1atm"})
	wantFields(t, err, "gauge_bar")
}

func TestCalcTestsLeftAgreesWithTheRoom(t *testing.T) {
	q := testsLeftQuestion()
	answer, err := CalcTestsLeft(q)
	if err != nil {
		t.Fatal(err)
	}
	r := reading(t)
	r.GaugeLimitBar = 2 // 2 % of 100 bar in the middle half
	u := usable(t, r)
	near(t, "usable", answer.UsableL, u.Litres, 1e-9)
	near(t, "low", answer.UsableLowL, u.Low, 1e-9)
	near(t, "high", answer.UsableHighL, u.High, 1e-9)
	if n := u.Tests(q.draw()); answer.Tests != n.Expected || answer.TestsLow != n.Low || answer.TestsHigh != n.High || answer.TestsWorst != n.Worst || answer.TestsBest != n.Best {
		t.Errorf("got %+v, want %+v", *answer.TestsLeft, n)
	}
}

func TestCalcTestsLeftBelowTheHeel(t *testing.T) {
	q := testsLeftQuestion()
	q.GaugeBar = 2
	answer, err := CalcTestsLeft(q)
	if err != nil || answer.TestsLeft == nil || *answer.TestsLeft != (TestsLeft{BelowHeel: true}) {
		t.Errorf("got %+v, %v", answer.TestsLeft, err)
	}
}

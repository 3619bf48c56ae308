package gas

import (
	"cmp"

	"spanroom/internal/problem"
)

// TestsLeftQuestion asks how many tests are left in a cylinder: the reading, its limits of error, and one test's draw.
type TestsLeftQuestion struct {
	Composition       Mix     `json:"composition"`
	WaterVolumeL      float64 `json:"water_volume_l"`
	GaugeBar          float64 `json:"gauge_bar"`
	GaugeSpanBar      float64 `json:"gauge_span_bar"`
	GaugeGrade        string  `json:"gauge_grade"`
	HeelGaugeBar      float64 `json:"heel_gauge_bar"`
	TemperatureC      float64 `json:"temperature_c"`
	FlowLMin          float64 `json:"flow_l_min"`
	DurationMin       float64 `json:"duration_min"`
	LossLPerTest      float64 `json:"loss_l_per_test"`
	TemperatureLimitK float64 `json:"temperature_limit_k"`
	VolumeLimitPct    float64 `json:"volume_limit_pct"`
	FlowLimitPct      float64 `json:"flow_limit_pct"`
	DurationLimitPct  float64 `json:"duration_limit_pct"`
	Reference         string  `json:"reference"`
	AtmosphericBar    float64 `json:"atmospheric_bar"`
}

// TestsLeft is the count of tests with its interval and corners, and the litres behind it.
type TestsLeft struct {
	UsableL     float64 `json:"usable_l"`
	UsableLowL  float64 `json:"usable_low_l"`
	UsableHighL float64 `json:"usable_high_l"`
	Tests       int     `json:"tests"`
	TestsLow    int     `json:"tests_low"`
	TestsHigh   int     `json:"tests_high"`
	TestsWorst  int     `json:"tests_worst"`
	TestsBest   int     `json:"tests_best"`
	BelowHeel   bool    `json:"below_heel"`
}

// TestsLeftAnswer gives the tests, or why pressure does not tell; then there is no TestsLeft.
type TestsLeftAnswer struct {
	Refusal
	*TestsLeft
}

// CalcTestsLeft answers a TestsLeftQuestion.
func CalcTestsLeft(q TestsLeftQuestion) (TestsLeftAnswer, error) {
	var usable Usable
	reading, err := q.reading()
	if err == nil {
		usable, err = reading.Usable()
	}
	refused, err := refuse(err)
	if err != nil || refused.Refused {
		return TestsLeftAnswer{Refusal: refused}, err
	}
	n := usable.Tests(q.draw())
	return TestsLeftAnswer{TestsLeft: &TestsLeft{
		UsableL: usable.Litres, UsableLowL: usable.Low, UsableHighL: usable.High,
		Tests: n.Expected, TestsLow: n.Low, TestsHigh: n.High, TestsWorst: n.Worst, TestsBest: n.Best,
		BelowHeel: usable.BelowHeel,
	}}, nil
}

func (q TestsLeftQuestion) draw() Draw {
	return Draw{q.FlowLMin, q.DurationMin, q.LossLPerTest, q.FlowLimitPct, q.DurationLimitPct}
}

// reading gathers all that is wrong with the question before a refusal for the composition is told.
func (q TestsLeftQuestion) reading() (Reading, error) {
	var wrong problem.Fields
	mixture, refused := mixtureOf(q.Composition, &wrong)
	ref := referenceOf(q.Reference, &wrong)
	limit, err := Gauge{q.GaugeSpanBar, q.GaugeGrade}.Limit(q.GaugeBar)
	wrong.Take("", err)
	r := Reading{
		Content: Content{mixture, q.WaterVolumeL, q.GaugeBar, q.TemperatureC + celsiusZero, q.AtmosphericBar, ref},
		HeelBar: q.HeelGaugeBar, GaugeLimitBar: limit, TemperatureLimitK: q.TemperatureLimitK, VolumeLimitPct: q.VolumeLimitPct,
	}
	celsius.check(&wrong, "temperature_c", q.TemperatureC)
	r.checkVessel(&wrong)
	r.checkLimits(&wrong)
	wrong.Take("", q.draw().Check())
	return r, cmp.Or(wrong.Err(), refused)
}

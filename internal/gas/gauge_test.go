package gas

import (
	"math"
	"testing"
)

func TestGaugeLimit(t *testing.T) {
	for _, c := range []struct {
		grade    string
		at, want float64
	}{
		{"ASME 1A", 50, 1}, {"ASME 2A", 50, 0.5}, {"ASME 3A", 50, 0.25}, {"ASME 4A", 50, 0.1},
		{"ASME A", 10, 2}, {"ASME A", 50, 1}, {"ASME A", 90, 2},
		{"ASME B", 24.9, 3}, {"ASME B", 25, 2}, {"ASME B", 75, 2}, {"ASME B", 75.1, 3},
		{"ASME C", 0, 4}, {"ASME C", 50, 3}, {"ASME C", 100, 4},
		{"EN 2.5", 1, 2.5}, {"EN 1.6", 99, 1.6}, {"EN 1,6", 99, 1.6}, {" en  1 ", 50, 1}, {"asme b", 50, 2},
	} {
		got, err := Gauge{SpanBar: 100, Grade: c.grade}.Limit(c.at)
		if err != nil {
			t.Errorf("%s: %v", c.grade, err)
		}
		near(t, c.grade, got, c.want, 1e-12)
	}
	if got, _ := (Gauge{SpanBar: 315, Grade: "EN 2.5"}).Limit(150); math.Abs(got-7.875) > 1e-12 {
		t.Errorf("a limit goes by the span: got %v", got)
	}
}

func TestGaugeThatIsNone(t *testing.T) {
	for _, grade := range []string{"", "ASME", "ASME 5A", "ASME D", "EN", "EN 0", "EN -1", "EN NaN", "EN Inf", "EN 11", "EN B", "DIN 1", "1A", "1.6"} {
		_, err := Gauge{SpanBar: 100, Grade: grade}.Limit(50)
		wantFields(t, err, "gauge_grade")
	}
	for _, span := range []float64{0, -1, math.NaN(), math.Inf(1), 1e9} {
		_, err := Gauge{SpanBar: span, Grade: "EN 1"}.Limit(50)
		wantFields(t, err, "gauge_span_bar")
	}
	for _, at := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, err := Gauge{SpanBar: 100, Grade: "EN 1"}.Limit(at)
		wantFields(t, err, "gauge_bar")
	}
	_, err := Gauge{SpanBar: 60, Grade: "EN 1"}.Limit(61)
	wantFields(t, err, "gauge_span_bar")
}

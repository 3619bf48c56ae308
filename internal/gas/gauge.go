package gas

import (
	"strconv"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// Gauge is a dial by its span and its accuracy grade, "ASME 1A" to "ASME 4A", "ASME A" to "ASME C", or "EN n".
type Gauge struct {
	SpanBar float64
	Grade   string
}

// grade is an accuracy in percent of the span: in the middle half, and in the lowest and highest quarter.
type grade struct{ middle, outer float64 }

var asmeGrades = map[string]grade{
	"1A": {1, 1}, "2A": {0.5, 0.5}, "3A": {0.25, 0.25}, "4A": {0.1, 0.1},
	"A": {1, 2}, "B": {2, 3}, "C": {3, 4},
}

// worstClass is the coarsest class of a gauge that is still one.
const worstClass = 10

func parseGrade(text string) (grade, error) {
	if family, class, ok := strings.Cut(strings.ToUpper(strings.TrimSpace(text)), " "); ok {
		class = strings.TrimSpace(class)
		if g, known := asmeGrades[class]; known && family == "ASME" {
			return g, nil
		}
		figure, comma := unit.Decimal(class) // dials are marked in both ways
		n, err := strconv.ParseFloat(figure, 64)
		if family == "EN" && err == nil && comma == nil && n > 0 && n <= worstClass {
			return grade{n, n}, nil
		}
	}
	return grade{}, invalid("write it as on the dial: ASME 1A to 4A, ASME A, B or C, or EN 1.6", "%.40q is not an accuracy grade", text)
}

// Limit gives the half-width in bar within which the gauge may be off at a reading.
func (g Gauge) Limit(atBar float64) (float64, error) {
	var wrong problem.Fields
	accuracy, err := parseGrade(g.Grade)
	wrong.Take("gauge_grade", err)
	gaugeSpans.check(&wrong, "gauge_span_bar", g.SpanBar)
	bars.check(&wrong, "gauge_bar", atBar)
	if len(wrong) == 0 && atBar > g.SpanBar {
		wrong.Add("gauge_span_bar", "the reading is above the span of the gauge", "check the reading, or give the gauge that was used")
	}
	if err := wrong.Err(); err != nil {
		return 0, err
	}
	percent := accuracy.outer
	if share := atBar / g.SpanBar; share >= 0.25 && share <= 0.75 {
		percent = accuracy.middle
	}
	return g.SpanBar * percent / 100, nil
}

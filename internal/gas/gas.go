// Package gas turns the pressure of a cylinder into litres and tests: real-gas factor, contents, what is usable
// above the heel with its interval, and where pressure says nothing because liquid may be present. It also turns %vol
// into %LEL and finds the lower limit of a mixture.
package gas

import (
	"fmt"
	"math"

	"spanroom/internal/problem"
)

// What the model answers for: the virial terms are fitted to 210 bar and 243–333 K and bear some stretching.
const (
	coldestKelvin = 200
	hottestKelvin = 400
	highestBar    = 350
)

const celsiusZero = 273.15

// span is the range in which one number of a question makes sense.
type span struct {
	low, high float64
	unit      string
}

var (
	kelvins     = span{coldestKelvin, hottestKelvin, "K"}
	celsius     = span{-73, 126, "°C"}
	bars        = span{0, highestBar, "bar"}
	atmospheres = span{0.4, 1.2, "bar"}
	volumes     = span{0.001, 10_000, "L"}
	fractions   = span{0, 1, ""}
	percents    = span{0, 90, "%"}
	kelvinLimit = span{0, 50, "K"}
	gaugeSpans  = span{0.1, 1_000, "bar"}
	flows       = span{0.0001, 1_000, "L/min"}
	durations   = span{0.0001, 10_000, "min"}
	losses      = span{0, 10_000, "L"}
)

func (s span) holds(value float64) bool { return value >= s.low && value <= s.high }

// check notes value under name when it is outside the span; NaN is outside every span.
func (s span) check(wrong *problem.Fields, name string, value float64) {
	if s.holds(value) {
		return
	}
	wrong.Add(name, spaced(fmt.Sprintf("%g", value), s.unit)+" makes no sense here",
		"give a number from "+spaced(fmt.Sprintf("%g to %g", s.low, s.high), s.unit))
}

func spaced(text, unit string) string {
	if unit == "" {
		return text
	}
	return text + " " + unit
}

func refusal(advice, format string, args ...any) error {
	return problem.New(problem.Refused, fmt.Sprintf(format, args...), advice)
}

func invalid(advice, format string, args ...any) error {
	return problem.New(problem.Invalid, fmt.Sprintf(format, args...), advice)
}

// rootSumSquare combines independent contributions to an uncertainty.
func rootSumSquare(parts ...float64) float64 {
	var sum float64
	for _, p := range parts {
		sum += p * p
	}
	return math.Sqrt(sum)
}

package fit

import (
	"fmt"
	"math"
)

// FactorReading says which of three numbers a manual prints between the gas in the cylinder and the gas that a display is scaled
// in (rule R19). They look alike, and one is the inverse of another.
type FactorReading string

const (
	// Multiplier turns %LEL of the cylinder's gas into %LEL of the displayed gas.
	Multiplier FactorReading = "multiplier"
	// TrueReading is "true = reading × k" of an instrument set up on the cylinder's gas.
	TrueReading FactorReading = "true_reading"
	// RelativeResponse is the response to the displayed gas over that to the cylinder's gas.
	RelativeResponse FactorReading = "relative_response"
)

// FactorReadings lists the readings that can be chosen.
func FactorReadings() []FactorReading {
	return []FactorReading{Multiplier, TrueReading, RelativeResponse}
}

// PrintedFactor is the number of a manual with what it means there.
type PrintedFactor struct {
	Value   float64       `json:"value"`
	Reading FactorReading `json:"reading"`
}

// F is the %LEL that the channel must show for 1 %LEL of the cylinder's gas. It is false, and never 1, for a number that is not
// above zero or of which nobody said what it means.
func (p PrintedFactor) F() (float64, bool) {
	f := p.Value
	switch p.Reading {
	case Multiplier, TrueReading:
	case RelativeResponse:
		f = 1 / p.Value
	default:
		return 0, false
	}
	if !(p.Value > 0 && f > 0) || math.IsInf(f, 0) {
		return 0, false
	}
	return f, true
}

// Sentence works the factor on a cylinder, to be ticked against the manual.
func (p PrintedFactor) Sentence(cylinderLEL float64, cylinderGas, shownGas string) string {
	f, known := p.F()
	shown := cylinderLEL * f
	if !known || !(shown >= 0) || math.IsInf(shown, 0) {
		return fmt.Sprintf("it is not known what %s must show on this %s scale", cylinderGas, shownGas)
	}
	return fmt.Sprintf("%s %%LEL %s must show %s on this %s scale", oneDecimal(cylinderLEL), cylinderGas, oneDecimal(shown), shownGas)
}

func oneDecimal(f float64) string { return figure(math.Round(f*10) / 10) }

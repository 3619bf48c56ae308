package fit

import (
	"fmt"
	"math"
	"strings"

	"spanroom/internal/unit"
)

// laterReading says how a channel reads that was set to one value while it got another: later = true × set / delivered.
// Weaker gas than believed makes it read high, stronger gas makes it read low.
func laterReading(set, delivered float64) string {
	if !(delivered > 0) {
		return "it would then read far too high"
	}
	off, direction := (set/delivered-1)*100, "high"
	if off < 0 {
		off, direction = -off, "low"
	}
	words := oneDecimal(off)
	if off >= 2 {
		words = figure(math.Round(off))
	}
	return fmt.Sprintf("it would then read about %s %% %s", words, direction)
}

// Words writes a level with its unit.
func (l Level) Words() string {
	if l.InLEL {
		return oneDecimal(l.LEL) + " %LEL"
	}
	return amountWords(l.Amount)
}

// value is the level as a number: %LEL, or parts per billion.
func (l Level) value() float64 {
	if l.InLEL {
		return l.LEL
	}
	return float64(l.Amount)
}

func levelOf(value float64, inLEL bool) Level {
	if inLEL {
		return Level{LEL: value, InLEL: true, Given: true}
	}
	return Level{Amount: unit.Amount(math.Round(value)), Given: true}
}

// amountWords writes an amount in the unit that people use for so much of it: %vol from half a per cent.
func amountWords(a unit.Amount) string {
	if a >= 5_000_000 {
		return percentVol(a) + " %vol"
	}
	return figure(a.PPM()) + " ppm"
}

func percentVol(a unit.Amount) string { return figure(float64(a) / 1e7) }

// words names the component with its certified amount and, where there is one, its uncertainty in the same unit.
func (p *Part) words() string {
	number, name, _ := strings.Cut(amountWords(p.Amount), " ")
	switch {
	case p.Uncertainty == 0:
	case name == "ppm":
		number += " ± " + figure(p.Uncertainty.PPM())
	default:
		number += " ± " + percentVol(p.Uncertainty)
	}
	return p.Component + " " + number + " " + name
}

package fit

import (
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// other tells whether the display is scaled in another gas than the one that spans the channel.
func (c *Channel) other() bool {
	return c.Scale != nil && c.Scale.Shown != "" && c.Scale.Shown != c.Component && c.Scale.Shown != c.formula()
}

// factor is F, what the channel must show for one of the cylinder's gas. It is 1 only where both gases are the same.
func (c *Channel) factor() (float64, bool) {
	switch {
	case !c.other():
		return 1, true
	case !c.Scale.HasFactor:
		return 0, false
	}
	return c.Scale.Factor.F()
}

// inLEL tells whether any figure of the channel is in %LEL.
func (c *Channel) inLEL() bool {
	return c.Set.InLEL || c.LowAlarm.InLEL || c.HighAlarm.InLEL || c.Range.InLEL
}

// basis is the cylinder's gas in %vol at 100 %LEL; 0 where nobody knows it.
func (c *Channel) basis() unit.Amount {
	if c.Scale == nil || c.Scale.LEL < 0 {
		return 0
	}
	return c.Scale.LEL
}

// shows gives what the channel must show for an amount of its cylinder's gas, in %LEL or as an amount; false where F or the basis is
// not known.
func (c *Channel) shows(a unit.Amount, inLEL bool) (float64, bool) {
	f, known := c.factor()
	if !known || inLEL && c.basis() == 0 {
		return 0, false
	}
	if inLEL {
		return float64(a) / float64(c.basis()) * 100 * f, true
	}
	return float64(a) * f, true
}

// Compare puts two figures of the display in order; false where one is not given. One in %LEL and one as an amount are compared
// where both are of the cylinder's own gas.
func (c *Channel) Compare(a, b Level) (order int, known bool) {
	if !a.Given || !b.Given {
		return 0, false
	}
	if a.InLEL != b.InLEL {
		if c.other() || c.basis() == 0 {
			return 0, false
		}
		a, b = c.volume(a), c.volume(b)
	}
	switch {
	case below(a.value(), b.value()):
		return -1, true
	case below(b.value(), a.value()):
		return 1, true
	}
	return 0, true
}

// above tells whether a level is known to lie above the range.
func (c *Channel) above(l Level) bool {
	order, known := c.Compare(l, c.Range)
	return known && order > 0
}

// volume turns %LEL of the cylinder's own gas into an amount.
func (c *Channel) volume(l Level) Level {
	if !l.InLEL {
		return l
	}
	return levelOf(l.LEL/100*float64(c.basis()), false)
}

// unscaled says what is missing to know what the channel must show, and where it is to be found; "" where nothing is.
func (c *Channel) unscaled() (missing, advice string) {
	if _, known := c.factor(); !known {
		return fmt.Sprintf("the factor from %s to the %s scale is not known", c.Component, c.Scale.Shown),
			"enter the number that the manual prints, and which of the three it is"
	}
	if c.inLEL() && c.basis() == 0 {
		return fmt.Sprintf("it is not known how much %s is 100 %%LEL on this instrument", c.Component),
			"enter the figure of the instrument's own manual; another basis gives another %LEL"
	}
	return "", ""
}

// unknownScale is never passed over with a default (rule R19).
func (q pairing) unknownScale(c *Channel, missing, advice string) problem.Finding {
	text := missing + ": nobody can say how far it would then read low or high"
	if !q.test.Purpose.compares() {
		text = missing + ": its alarms are not compared with the gas"
	}
	return q.finding("R19", q.test.weigh(problem.Stop, problem.Note), c.label(), text, advice)
}

// worked writes what an amount of the cylinder's gas is on the channel's scale.
func (c *Channel) worked(a unit.Amount, shows Level) string {
	words := c.Component + " " + amountWords(a)
	f, _ := c.factor()
	if shows.InLEL {
		basis := amountWords(c.basis())
		if c.Scale.Basis != "" {
			basis += ", " + c.Scale.Basis
		}
		words += fmt.Sprintf(" is %s (100 %%LEL is %s)", levelOf(shows.LEL/f, true).Words(), basis)
		if c.other() {
			words += " and"
		}
	}
	if c.other() {
		words += fmt.Sprintf(" must show %s on the %s scale (F %s)", shows.Words(), c.Scale.Shown, figure(f))
	}
	return words
}

// catalytic is a sensor that burns what it measures.
const catalytic = "catalytic"

// direction asks for a second look at a factor that lowers the reading though a heavier gas is displayed: a catalytic sensor is
// less sensitive to the heavier one, so F is above 1. On a bump a wrong one only hides a stronger signal.
func (q pairing) direction(found []problem.Finding, c *Channel, part *Part) []problem.Finding {
	f, known := c.factor()
	if !known || f >= 1 || c.Sensor != catalytic || !heavier(c.Scale.Shown, part.Formula) {
		return found
	}
	return append(found, q.finding("R19", q.test.weigh(problem.Ask, problem.Note), c.label(),
		fmt.Sprintf("F is %s from %s to the heavier %s; on a catalytic sensor it is above 1 as a rule. Were it the other way round, %s",
			figure(f), c.Component, c.Scale.Shown, laterReading(f*f, 1)),
		"check its direction: does the manual say that "+c.Scale.Factor.Sentence(50, c.Component, c.Scale.Shown)+"?"))
}

package fit

import (
	"fmt"
	"math"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// comparison is what a gas makes a channel show, against what the channel is set to expect.
type comparison struct {
	channel *Channel
	part    *Part
	shows   Level
	off     float64 // signed, in percent of the set value, or in %vol where absolute
	allowed float64
	unit    string
}

// compare holds a certified value against the set value (rules R17 and R19); false where either is not known.
func (p *Policy) compare(c *Channel, part *Part) (comparison, bool) {
	shows, known := c.shows(part.Amount, c.Set.InLEL)
	set := c.Set.value()
	if !known || !c.hasSet() {
		return comparison{}, false
	}
	x := comparison{channel: c, part: part, shows: levelOf(shows, c.Set.InLEL), unit: " %"}
	if c.oxygen() && c.Tolerance == 0 {
		x.off, x.allowed, x.unit = (shows-set)/1e7, p.MatchOxygenVol, " %vol"
		return x, true
	}
	x.off, x.allowed = (shows-set)/set*100, p.tolerance(c, part)
	return x, true
}

// tolerance is in percent: the model's own, else the site's, which the certificate of a strongly adsorbing gas may widen.
func (p *Policy) tolerance(c *Channel, part *Part) float64 {
	switch {
	case c.Tolerance > 0:
		return c.Tolerance
	case part.Adsorbs && part.Amount > 0:
		return max(p.MatchPct, float64(part.Uncertainty)/float64(part.Amount)*100)
	}
	return p.MatchPct
}

// hasSet tells whether the set value is known. No channel is set to nothing.
func (c *Channel) hasSet() bool { return c.Set.Given && c.Set.value() > 0 }

func (x comparison) within() bool { return !below(x.allowed, math.Abs(x.off)) }

// setValue stops a calibration or a check by a gas that the channel is not set to.
func (q pairing) setValue(found []problem.Finding, c *Channel, part *Part) []problem.Finding {
	if missing, advice := c.unscaled(); missing != "" {
		return append(found, q.unknownScale(c, missing, advice))
	}
	if c.above(c.Set) {
		return append(found, q.finding("R19", problem.Stop, c.label(),
			fmt.Sprintf("the set value of %s lies above the range of %s: nobody can say how far it would then read low or high", c.Set.Words(), c.Range.Words()),
			"compare both with the manual, and set it to a value within the range"))
	}
	x, known := q.policy.compare(c, part)
	if !known || x.within() {
		return found
	}
	if q.test.Entering && q.enterable(x) {
		return append(found, q.finding(x.rule(), problem.Ask, c.label(),
			fmt.Sprintf("%s is entered in place of %s", x.shows.Words(), c.Set.Words()), "say who enters it; it is recorded as the new set value"))
	}
	return append(found, q.finding(x.rule(), problem.Stop, c.label(), x.words(), x.exit(q.enterable(x))))
}

// rule is R19 where the display is another scale than the cylinder's label.
func (x comparison) rule() string {
	if x.shows.InLEL || x.channel.other() {
		return "R19"
	}
	return "R17"
}

func (x comparison) words() string {
	set := x.channel.Set.Words()
	if x.rule() == "R17" {
		return fmt.Sprintf("%s %s vs %s set %s", x.part.Component, x.shows.Words(), set, x.consequence())
	}
	if x.shows.InLEL {
		set = oneDecimal(x.channel.Set.LEL)
	}
	return fmt.Sprintf("%s: %s vs %s %s", x.channel.worked(x.part.Amount, x.shows), x.shows.Words(), set, x.consequence())
}

// consequence writes how far off it is, with so many places that it is seen to be too far, and what follows.
func (x comparison) consequence() string {
	places := 1
	if math.Round(math.Abs(x.off)*10)/10 <= x.allowed {
		places = 3
	}
	return fmt.Sprintf("(%+.*f%s), %s%s allowed: %s",
		places, x.off, x.unit, oneDecimal(x.allowed), x.unit, laterReading(x.channel.Set.value(), x.shows.value()))
}

// exit is the way out: a gas that meets the set value, or the set value that this gas needs where the user may enter it.
func (x comparison) exit(maySet bool) string {
	c := x.channel
	enter := fmt.Sprintf("enter %s in the instrument", x.shows.Words())
	if x.rule() == "R17" {
		if maySet {
			return enter + ", or take another lot"
		}
		return fmt.Sprintf("take another lot, certified near %s", c.Set.Words())
	}
	const one = 1_000_000_000
	ofPure, _ := c.shows(one, c.Set.InLEL)
	needs := math.Round(c.Set.value() / ofPure * one)
	product := fmt.Sprintf("take a gas of %s %s", amountWords(unit.Amount(needs)), x.part.Component)
	if needs > one {
		product = fmt.Sprintf("compare F, basis and set value with the manual: no gas holds enough %s", x.part.Component)
	}
	if maySet {
		return product + ", or " + enter
	}
	return product
}

package fit

import (
	"fmt"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// alarms finds the alarms of a channel that the gas cannot be trusted to raise (rule R18), and a gas beyond its range.
func (q pairing) alarms(found []problem.Finding, c *Channel, part *Part) []problem.Finding {
	if missing, advice := c.unscaled(); missing != "" {
		return append(found, q.unknownScale(c, missing, advice))
	}
	if shows, _ := c.shows(part.Amount, c.Range.InLEL); c.Range.Given && c.above(levelOf(shows, c.Range.InLEL)) {
		found = append(found, q.finding("R19", problem.Ask, c.label(),
			fmt.Sprintf("%s shows %s, the range ends at %s", part.words(), levelOf(shows, c.Range.InLEL).Words(), c.Range.Words()),
			"see in the manual whether the sensor stands it, or take a weaker gas"))
	}
	if c.oxygen() {
		return q.lowOxygen(found, c, part)
	}
	low := c.unproven(c.LowAlarm, part, q.policy.BumpMargin)
	high := !q.test.LowOnly && c.unproven(c.HighAlarm, part, q.policy.BumpMargin)
	if !low && !high {
		return found
	}
	return append(found, q.tooWeak(c, part, low, high))
}

// unalarmed notes the channels that the gas reaches and of which nobody has entered an alarm that it is to prove.
func (q pairing) unalarmed(found []problem.Finding) []problem.Finding {
	var labels []string
	for i := range q.of.Channels {
		c := &q.of.Channels[i]
		compared := c.LowAlarm.Given || c.HighAlarm.Given && !q.test.LowOnly && !c.oxygen()
		if !compared && q.gas.part(c.Component) != nil {
			labels = append(labels, c.label())
		}
	}
	if labels == nil {
		return found
	}
	names := strings.Join(labels, ", ")
	return append(found, q.finding("R18", problem.Note, names, "no alarm is entered that this would prove: it shows that gas arrives, no more",
		"enter the alarm points with the model"))
}

// unproven tells whether the least that the gas may hold stays below an alarm with its margin.
func (c *Channel) unproven(alarm Level, part *Part, margin float64) bool {
	shows, _ := c.shows(part.least(), alarm.InLEL)
	return alarm.Given && below(shows, alarm.value()*margin)
}

func (p *Part) least() unit.Amount { return max(p.Amount-p.Uncertainty, 0) }

func (q pairing) tooWeak(c *Channel, part *Part, low, high bool) problem.Finding {
	alarm, advice := c.LowAlarm, "take a stronger gas"
	if !low {
		alarm = c.HighAlarm
		if c.LowAlarm.Given {
			advice = "choose to prove the low alarm only, or take a stronger gas"
		}
	}
	margin := q.policy.BumpMargin
	needs := func(name string, l Level) string {
		return fmt.Sprintf("the %s alarm of %s needs %s (× %s)", name, l.Words(), levelOf(l.value()*margin, l.InLEL).Words(), figure(margin))
	}
	var wants []string
	if low {
		wants = append(wants, needs("low", c.LowAlarm))
	}
	if high {
		wants = append(wants, needs("high", c.HighAlarm))
	}
	shows, _ := c.shows(part.least(), alarm.InLEL)
	return q.finding("R18", problem.Stop, c.label(),
		fmt.Sprintf("%s shows at least %s; %s", part.words(), levelOf(shows, alarm.InLEL).Words(), strings.Join(wants, ", ")), advice)
}

// lowOxygen stops a gas whose oxygen may not fall below the low alarm. A gas below air cannot prove the high one.
func (q pairing) lowOxygen(found []problem.Finding, c *Channel, part *Part) []problem.Finding {
	if !c.oxygenUnproven(part) {
		return found
	}
	return append(found, q.finding("R18", problem.Stop, c.label(), c.oxygenWords(part), "take a gas with less O2"))
}

func (c *Channel) oxygenUnproven(part *Part) bool {
	return c.LowAlarm.Given && part.Amount+part.Uncertainty >= c.LowAlarm.Amount-c.Accuracy
}

func (c *Channel) oxygenWords(part *Part) string {
	needs := percentVol(c.LowAlarm.Amount)
	if c.Accuracy > 0 {
		needs = fmt.Sprintf("%s - %s = %s", needs, percentVol(c.Accuracy), percentVol(c.LowAlarm.Amount-c.Accuracy))
	}
	return fmt.Sprintf("%s is up to %s %%vol; the low alarm needs less than %s %%vol", part.words(), percentVol(part.Amount+part.Uncertainty), needs)
}

// tooShort asks about an exposure in which a sensor does not come near its reading.
func (q pairing) tooShort(found []problem.Finding) []problem.Finding {
	var labels, times []string
	var longest unit.Seconds
	for i := range q.of.Channels {
		c := &q.of.Channels[i]
		if q.test.Exposure > 0 && c.T90 > q.test.Exposure && q.gas.part(c.Component) != nil {
			labels, times = append(labels, c.label()), append(times, fmt.Sprintf("%s %d s", c.label(), c.T90))
			longest = max(longest, c.T90)
		}
	}
	if labels == nil {
		return found
	}
	return append(found, q.finding("R18", problem.Ask, strings.Join(labels, ", "),
		fmt.Sprintf("%d s of gas is shorter than the response time T90: %s", q.test.Exposure, strings.Join(times, ", ")),
		fmt.Sprintf("let it flow for %d s, or say why less is enough", longest)))
}

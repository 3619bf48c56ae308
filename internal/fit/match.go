package fit

import (
	"fmt"
	"strings"

	"spanroom/internal/problem"
)

// Match judges a gas for one test on the instruments that have it (rules R17, R17b, R18, R19, R28 and R56): every finding at once,
// worst first, and none where nothing is against it.
func Match(t Test, g Gas, m []Instruments, p Policy) []problem.Finding {
	var found []problem.Finding
	for i := range m {
		found = pairing{&t, &g, &m[i], &p}.judge(found)
	}
	found = unconfirmed(found, t, g, m)
	found = connected(found, m)
	if len(found) < 2 {
		return found
	}
	return problem.Sort(found)
}

// pairing is one test with one gas on instruments that are alike. Its methods add what they find to the findings that they are given.
type pairing struct {
	test   *Test
	gas    *Gas
	of     *Instruments
	policy *Policy
}

func (q pairing) judge(found []problem.Finding) []problem.Finding {
	if q.of.unknown() {
		return append(found, q.unknownModel())
	}
	switch q.test.Purpose {
	case Zero:
		found = q.zero(found)
	case Bump, Line:
		found = q.bump(found)
	default:
		found = q.span(found)
	}
	return q.oxygenAlarm(found)
}

// compares tells whether the purpose holds readings against the certified value, as a calibration and a check do.
func (p Purpose) compares() bool { return p != Bump && p != Line && p != Zero }

// span judges the gas as the one by which channels are set or checked.
func (q pairing) span(found []problem.Finding) []problem.Finding {
	for i := range q.of.Channels {
		c := &q.of.Channels[i]
		if part := q.gas.part(c.Component); part != nil && !c.CleanAir {
			found = q.setValue(found, c, part)
			found = q.direction(found, c, part)
			found = q.oxygenToBurn(found, c, part)
		}
	}
	found = q.unset(found)
	found = q.cross(found)
	found = q.unlisted(found)
	return q.uncovered(found, "R17")
}

// bump judges the gas as the one that has to raise the alarms.
func (q pairing) bump(found []problem.Finding) []problem.Finding {
	for i := range q.of.Channels {
		c := &q.of.Channels[i]
		if part := q.gas.part(c.Component); part != nil {
			found = q.alarms(found, c, part)
			found = q.direction(found, c, part)
			found = q.oxygenToBurn(found, c, part)
		}
	}
	found = q.unalarmed(found)
	found = q.tooShort(found)
	found = q.cross(found)
	return q.uncovered(found, "R18")
}

// uncovered notes the channels for which the gas does nothing. A bump without oxygen does raise the oxygen alarm.
func (q pairing) uncovered(found []problem.Finding, rule string) []problem.Finding {
	var labels, gases []string
	for i := range q.of.Channels {
		c := &q.of.Channels[i]
		sounds := c.oxygen() && !q.test.Purpose.compares() && !q.gas.hasOxygen()
		if !c.CleanAir && !sounds && q.gas.part(c.Component) == nil {
			labels, gases = append(labels, c.label()), append(gases, c.Component)
		}
	}
	if labels == nil {
		return found
	}
	return append(found, q.finding(rule, problem.Note, strings.Join(labels, ", "),
		"not covered: needs a gas with "+strings.Join(gases, ", "), "take a second gas along for it"))
}

func (q pairing) finding(rule string, s problem.Severity, channel, text, advice string) problem.Finding {
	return problem.Finding{Rule: rule, Severity: s, Subject: q.of.subject(channel), Text: text, Advice: advice}
}

// subject names the instruments, by number where there are many, and a channel of theirs, or none.
func (m *Instruments) subject(channel string) string {
	return strings.TrimSuffix(instrumentsNamed(m.Serials, m.Model)+" "+channel, " ")
}

func instrumentsNamed(serials []string, model string) string {
	const most = 4
	switch {
	case len(serials) == 0:
		return model
	case len(serials) <= most:
		return strings.Join(serials, ", ")
	case model == "":
		return fmt.Sprintf("%d instruments", len(serials))
	}
	return fmt.Sprintf("%d × %s", len(serials), model)
}

package fit

import (
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/problem"
)

// listed looks up whether the model's table names a gas on a channel, and whether it interferes there.
func (m *Instruments) listed(c *Channel, p *Part) (interferes, known bool) {
	for i := range m.Cross {
		x := &m.Cross[i]
		if x.Channel == c.Component && (slices.Contains(x.Gases, p.Component) || slices.Contains(x.Gases, p.Formula)) {
			interferes, known = interferes || x.Interferes, true
		}
	}
	return interferes, known
}

// foreign lists the components of the gas that are not the channel's own: those that the table says interfere, and those of which it
// says nothing. Oxygen is in the air anyway, so nothing need be said of it.
func (q pairing) foreign(c *Channel) (interfering, unlisted []string) {
	for i := range q.gas.Parts {
		p := &q.gas.Parts[i]
		if p.Component == c.Component {
			continue
		}
		switch interferes, known := q.of.listed(c, p); {
		case interferes:
			interfering = append(interfering, p.Component)
		case !known && p.Formula != oxygenFormula:
			unlisted = append(unlisted, p.Component)
		}
	}
	return interfering, unlisted
}

// cross finds the components of the gas that another channel takes for its own. Where that channel is set with the same gas, it is
// set low.
func (q pairing) cross(found []problem.Finding) []problem.Finding {
	for i := range q.of.Channels {
		c := &q.of.Channels[i]
		if c.CleanAir {
			continue
		}
		if names, _ := q.foreign(c); names != nil {
			found = append(found, q.interference(c, strings.Join(names, ", ")))
		}
	}
	return found
}

func (q pairing) interference(c *Channel, names string) problem.Finding {
	covered := q.gas.part(c.Component) != nil
	switch {
	case covered && q.test.Purpose.compares():
		return q.finding("R17", problem.Stop, c.label(),
			fmt.Sprintf("%s in the gas adds to the %s channel, which would be set low: it would then read low, nobody can say how far", names, c.label()),
			fmt.Sprintf("set %s with a gas without %s", c.label(), names))
	case covered:
		return q.finding("R17", problem.Note, c.label(),
			fmt.Sprintf("%s in the gas adds to the %s channel: its alarm is no proof that it answers to %s", names, c.label(), c.Component),
			fmt.Sprintf("to prove it alone, bump it with a gas without %s", names))
	}
	return q.finding("R17", problem.Note, c.label(),
		fmt.Sprintf("%s in the gas adds to the %s channel, whose alarm may sound", names, c.label()),
		fmt.Sprintf("leave %s as it is with this gas", c.label()))
}

// unlisted notes once what the table does not say about channels that are set with this gas. Oxygen is in the air anyway.
func (q pairing) unlisted(found []problem.Finding) []problem.Finding {
	var labels, pairs []string
	for i := range q.of.Channels {
		c := &q.of.Channels[i]
		if c.CleanAir || c.oxygen() || q.gas.part(c.Component) == nil {
			continue
		}
		if _, names := q.foreign(c); names != nil {
			labels, pairs = append(labels, c.label()), append(pairs, strings.Join(names, ", ")+" on "+c.label())
		}
	}
	if pairs == nil {
		return found
	}
	return append(found, q.finding("R17", problem.Note, strings.Join(labels, ", "),
		"no cross-sensitivity is listed for "+strings.Join(pairs, "; "), "see the manual's table, and enter it with the model"))
}

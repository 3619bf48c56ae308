package fit

import (
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/problem"
)

func (m *Instruments) unknown() bool { return m.Model == "" || len(m.Channels) == 0 }

// unknownModel asks about instruments of which nobody knows the channels: nothing about them can pass (rule R28).
func (q pairing) unknownModel() problem.Finding {
	text := "their model is not known"
	if q.of.Model != "" {
		text = fmt.Sprintf("the channels of %s are not known", q.of.Model)
	}
	return q.finding("R28", q.test.weigh(problem.Ask, problem.Note), "", text+": set values and alarms are not compared with the gas",
		"enter the model with its channels, or say how you compared the screens with the label")
}

// unset asks for set values that nobody has entered.
func (q pairing) unset(found []problem.Finding) []problem.Finding {
	var labels []string
	for i := range q.of.Channels {
		c := &q.of.Channels[i]
		if !c.CleanAir && !c.hasSet() && q.gas.part(c.Component) != nil {
			labels = append(labels, c.label())
		}
	}
	if labels == nil {
		return found
	}
	names := strings.Join(labels, ", ")
	return append(found, q.finding("R28", problem.Ask, names,
		fmt.Sprintf("the set value of %s is not known, so it is not compared with the gas", names),
		"enter it with the model, or say that the screens show the label's values"))
}

// unconfirmed asks once for each model whose set values may have changed, with the values that the screens must show.
func unconfirmed(found []problem.Finding, t Test, g Gas, m []Instruments) []problem.Finding {
	if !t.Purpose.compares() {
		return found
	}
	for i := range m {
		if !m[i].asks() {
			continue
		}
		sameModel := func(o Instruments) bool { return o.asks() && o.Model == m[i].Model }
		if !slices.ContainsFunc(m[:i], sameModel) {
			found = append(found, confirmation(g, m[i:], m[i].Model))
		}
	}
	return found
}

func (m *Instruments) asks() bool { return m.Unconfirmed != "" && !m.unknown() }

func confirmation(g Gas, m []Instruments, model string) problem.Finding {
	var serials, why, screens []string
	for i := range m {
		if !m[i].asks() || m[i].Model != model {
			continue
		}
		serials = append(serials, m[i].Serials...)
		if !slices.Contains(why, m[i].Unconfirmed) {
			why = append(why, m[i].Unconfirmed)
		}
		if shown := m[i].screens(g); shown != "" && !slices.Contains(screens, shown) {
			screens = append(screens, shown)
		}
	}
	text := "set values to be confirmed: " + strings.Join(why, ", ")
	if screens != nil {
		text = fmt.Sprintf("screens show %s? (%s)", strings.Join(screens, "; or "), strings.Join(why, ", "))
	}
	return problem.Finding{Rule: "R28", Severity: problem.Ask, Subject: instrumentsNamed(serials, model), Text: text,
		Advice: "compare every screen, and say so; where one differs, correct its set values first"}
}

// screens writes the set values of the channels that the gas spans.
func (m *Instruments) screens(g Gas) string {
	var values []string
	for i := range m.Channels {
		c := &m.Channels[i]
		if c.hasSet() && !c.CleanAir && g.part(c.Component) != nil {
			values = append(values, c.label()+" "+c.Set.Words())
		}
	}
	return strings.Join(values, ", ")
}

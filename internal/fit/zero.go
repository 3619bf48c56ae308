package fit

import (
	"fmt"
	"strings"

	"spanroom/internal/problem"
)

const cleanAirAdvice = "zero in clean air or zero air; nitrogen only where the manual says so"

// zero stops a gas that is not nothing to the sensors (rule R17b): one that holds what they measure, or one that lacks the oxygen
// of air where the manual does not zero in it.
func (q pairing) zero(found []problem.Finding) []problem.Finding {
	var labels, parts []string
	for i := range q.of.Channels {
		c := &q.of.Channels[i]
		if words := q.felt(c); words != "" {
			labels, parts = append(labels, c.label()), append(parts, words)
		}
	}
	if labels != nil {
		found = append(found, q.finding("R17b", problem.Stop, strings.Join(labels, ", "),
			fmt.Sprintf("there is %s in this gas: the channel would be zeroed on it, and would then read low", strings.Join(parts, ", ")), cleanAirAdvice))
	}
	if !q.gas.likeAir() && !(q.of.NitrogenZero && q.gas.Balance == nitrogenFormula && !q.gas.hasOxygen()) {
		found = append(found, q.finding("R17b", problem.Stop, "",
			fmt.Sprintf("this gas is %s with %s %%vol O2, and the manual does not zero in it", q.gas.balance(), percentVol(q.gas.oxygen())), cleanAirAdvice))
	}
	return q.carbonDioxide(found)
}

// felt names what the channel answers to in the gas, except the oxygen of air.
func (q pairing) felt(c *Channel) string {
	if part := q.gas.part(c.Component); part != nil && !c.oxygen() {
		return part.words()
	}
	if c.CleanAir {
		return ""
	}
	interfering, _ := q.foreign(c)
	return strings.Join(interfering, ", ")
}

func (g *Gas) balance() string {
	if g.Balance == "" {
		return "a gas without a known balance"
	}
	return g.Balance
}

// carbonDioxide notes that air is no zero gas for it.
func (q pairing) carbonDioxide(found []problem.Finding) []problem.Finding {
	for i := range q.of.Channels {
		c := &q.of.Channels[i]
		if c.formula() == "CO2" && q.gas.part(c.Component) == nil {
			return append(found, q.finding("R17b", problem.Note, c.label(), "clean air holds about 400 ppm of CO2: this channel is zeroed in gas free of CO2 only",
				"see on the papers that this gas is free of CO2, or leave this channel out"))
		}
	}
	return found
}

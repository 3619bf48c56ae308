package fit

import (
	"fmt"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// Oxygen is in the air, so it is judged in a way of its own wherever it occurs. airOxygen is what air holds, and a gas within these
// bounds breathes like air.
const (
	airOxygen       = unit.Amount(209_000_000)
	leastAirOxygen  = unit.Amount(195_000_000)
	mostAirOxygen   = unit.Amount(235_000_000)
	oxygenFormula   = "O2"
	nitrogenFormula = "N2"
)

func (c *Channel) formula() string {
	if c.Formula != "" {
		return c.Formula
	}
	return c.Component
}

func (c *Channel) oxygen() bool { return c.formula() == oxygenFormula }

// oxygen is how much of it a gas holds, by its papers or by its balance of air.
func (g *Gas) oxygen() unit.Amount {
	for i := range g.Parts {
		if g.Parts[i].Formula == oxygenFormula {
			return g.Parts[i].Amount
		}
	}
	if strings.EqualFold(g.Balance, "air") {
		return airOxygen
	}
	if g.Balance == oxygenFormula {
		return mostAirOxygen + 1
	}
	return 0
}

func (g *Gas) hasOxygen() bool { return g.oxygen() > 0 }

// likeAir tells whether an oxygen sensor shows the reading of air in it.
func (g *Gas) likeAir() bool {
	o := g.oxygen()
	return o >= leastAirOxygen && o <= mostAirOxygen
}

// oxygenAlarm notes that a gas without oxygen raises the oxygen alarm, whatever it is for.
func (q pairing) oxygenAlarm(found []problem.Finding) []problem.Finding {
	if q.gas.hasOxygen() {
		return found
	}
	for i := range q.of.Channels {
		if c := &q.of.Channels[i]; c.oxygen() {
			return append(found, q.finding("R17", problem.Note, c.label(), "there is no O2 in this gas: the oxygen alarm will sound; expected",
				"warn people near you, and go by the other channels"))
		}
	}
	return found
}

// oxygenToBurn stops a gas in which a catalytic sensor cannot burn what it measures.
func (q pairing) oxygenToBurn(found []problem.Finding, c *Channel, part *Part) []problem.Finding {
	if c.Sensor != catalytic || c.oxygen() {
		return found
	}
	needs := float64(c.OxygenMin)
	if needs == 0 {
		needs = q.policy.CatalyticOxygen * 1e7
	}
	has := q.gas.oxygen()
	if !below(float64(has), needs) {
		return found
	}
	text := fmt.Sprintf("%s in a gas with %s %%vol O2: a catalytic sensor needs %s %%vol of it to burn", part.Component, percentVol(has), percentVol(unit.Amount(needs)))
	if q.test.Purpose.compares() {
		text += "; it would then read high, nobody can say how far"
	} else {
		text += "; what it shows proves nothing"
	}
	return append(found, q.finding("R19", problem.Stop, c.label(), text, "take "+part.Component+" in air, or in a mixture with enough O2"))
}

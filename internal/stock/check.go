package stock

import (
	"fmt"
	"slices"

	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/models"
)

// matchKey is what a match of gas and instruments depends on; the cylinders of a lot share one answer.
type matchKey struct {
	lot       *lot
	paper     *certificate
	procedure int64
	first     *fit.Instruments
}

// matched holds the gas against the set values, alarm points and sensors of the instruments that are named (R17 to R19, R28).
func (v *view) matched(c cylinder, n need) []problem.Finding {
	if len(n.on) == 0 {
		return uncompared(c, n)
	}
	var found []problem.Finding
	for _, t := range n.testsToJudge() {
		if len(t.on) == 0 {
			continue
		}
		found = append(found, v.match(c, n, t)...)
		found = append(found, t.foreign(c)...)
	}
	return distinct(found)
}

// foreign stops a gas that has nothing which any of the instruments measures; what sets zero has to be nothing to them.
func (t testCount) foreign(c cylinder) []problem.Finding {
	if Purpose(t.Purpose) == Zero || t.on.measures(c.gas()) {
		return nil
	}
	return one("R17", problem.Stop, c, "none of the instruments has a channel for this gas", "take the gas that they measure, or name other instruments")
}

// measures tells whether some of the instruments whose channels are known have one for a gas. Where none is known, some may.
func (g group) measures(gas fit.Gas) bool {
	known := only(g, func(m fit.Instruments) bool { return len(m.Channels) > 0 })
	return len(known) == 0 || slices.ContainsFunc(known, func(m fit.Instruments) bool {
		return slices.ContainsFunc(m.Channels, func(ch fit.Channel) bool {
			return slices.ContainsFunc(gas.Parts, func(p fit.Part) bool { return p.Component == ch.Component })
		})
	})
}

// uncompared notes that nobody said which instruments are calibrated.
func uncompared(c cylinder, n need) []problem.Finding {
	if !n.purpose.compares() {
		return nil
	}
	return one("R28", problem.Note, c, "no instruments are named, so set values, alarm points and the flow that they want are not compared",
		"name the instruments or a round, or compare with the maker's manual and the screens")
}

func (v *view) match(c cylinder, n need, t testCount) []problem.Finding {
	key := matchKey{c.lot, c.paper, t.ID, &t.on[0]}
	if known, there := v.matches[key]; there {
		return known
	}
	answer := fit.Match(n.test(t), c.gas(), t.on, v.policy)
	v.matches[key] = answer
	return answer
}

// test is one of the planned tests as the fit room takes it.
func (n need) test(t testCount) fit.Test {
	return fit.Test{
		Purpose: fit.Purpose(t.Purpose), Code: t.Code, Flow: t.Flow, Exposure: t.Duration, Until: n.until, LowOnly: n.lowOnly, Entering: n.entering,
	}
}

// gas is what is in the cylinder as its papers say: the certified values, else those of the label.
func (c cylinder) gas() fit.Gas {
	g := fit.Gas{Label: c.lot.Lot.Lot, Parts: make([]fit.Part, 0, len(c.lot.parts))}
	for _, p := range c.lot.parts {
		if p.Balance {
			g.Balance = p.Formula
			continue
		}
		part := fit.Part{Component: p.Code, Formula: p.Formula, Amount: p.Amount, Adsorbs: p.Adsorbs}
		if value := c.paper.value(p.ComponentID); value != nil {
			part.Amount, part.Uncertainty = value.Amount, value.Uncertainty
		}
		g.Parts = append(g.Parts, part)
	}
	return g
}

// fittings holds regulator, tubing and cap against the cylinder, the gas and the instruments (R21 to R25).
func (v *view) fittings(c cylinder, n need) []problem.Finding {
	var found []problem.Finding
	if n.along.regulator == nil {
		found = noRegulator(c)
	}
	if n.along.parts == (fit.Set{}) && len(n.on) == 0 && n.purpose != Line {
		return found
	}
	for _, t := range n.testsToJudge() {
		found = append(found, fit.Fittings(n.test(t), v.bottle(c, n), n.along.parts, t.on, v.policy)...)
	}
	return distinct(found)
}

func noRegulator(c cylinder) []problem.Finding {
	return one("R21", problem.Note, c, "no regulator is named; the outlet is "+c.item.Outlet, "use only a regulator with that inlet, rated for the fill and suited to this gas")
}

// bottle is the cylinder as fittings meet it.
func (v *view) bottle(c cylinder, n need) fit.Bottle {
	gas := c.gas()
	gas.Label = string(c.Tag)
	return fit.Bottle{Gas: gas, Outlet: fit.Outlet(c.item.Outlet), FillBar: c.item.FillPressure.Bar(), HotVehicle: n.vehicle}
}

// high notes that the site lies so high that sensors of partial pressure are calibrated where they are used (R14c).
func (v *view) high(c cylinder, n need) []problem.Finding {
	if !n.purpose.exact() || v.settings.AtmosphereBar >= v.settings.HeightNoteBar {
		return nil
	}
	return one("R14c", problem.Note, c, fmt.Sprintf("the air here has %.3f bar", v.settings.AtmosphereBar), "calibrate oxygen and other sensors of partial pressure at the place of use")
}

// testsToJudge are the tests that gas and fittings are held against: those that are planned, and where none of them asks as much as
// the purpose, one that knows no more than that.
func (n need) testsToJudge() []testCount {
	if len(n.tests) > 0 && n.purpose == most(n.tests) {
		return n.tests
	}
	return append(slices.Clip(n.tests), testCount{Procedure: models.Procedure{Purpose: string(n.purpose)}, on: n.on})
}

// distinct keeps each finding once, in its order: several tests may come to the same. Where it stops one and asks about another,
// the stop is enough.
func distinct(found []problem.Finding) []problem.Finding {
	var kept []problem.Finding
	for _, f := range found {
		at := slices.IndexFunc(kept, func(k problem.Finding) bool { return k.Rule == f.Rule && k.Subject == f.Subject && k.Text == f.Text })
		switch {
		case at < 0:
			kept = append(kept, f)
		case kept[at].Severity.Milder(f.Severity):
			kept[at] = f
		}
	}
	return kept
}

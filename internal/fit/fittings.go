package fit

import (
	"fmt"
	"slices"

	"spanroom/internal/problem"
)

// fault is a finding with the word that the calculator has for it, "" where it has none.
type fault struct {
	reason string
	problem.Finding
}

func findings(faults []fault) []problem.Finding {
	var found []problem.Finding
	for _, f := range faults {
		found = append(found, f.Finding)
	}
	return found
}

// Fittings holds a regulator set against the cylinder and the instruments: outlet, rating, flow, materials, last gas and what is
// due. It says nothing of a part that nobody named.
func Fittings(t Test, b Bottle, s Set, m []Instruments, p Policy) []problem.Finding {
	return findings(fittings(t, b, s, m, p))
}

func fittings(t Test, b Bottle, s Set, m []Instruments, p Policy) []fault {
	c := b.contact()
	return slices.Concat(regulatorFaults(t, b, c, s.Regulator, m, p), tubingFaults(t, c, s.Tubing), capFaults(t, s.Cap, m),
		instrumentFaults(t, m), lineFaults(t, s.Tubing, p))
}

func regulatorFaults(t Test, b Bottle, c contact, r *Regulator, m []Instruments, p Policy) []fault {
	if r == nil {
		return nil
	}
	outlet := outletFaults(b, r)
	return slices.Concat(outlet, ratingFaults(b, r, p), flowFaults(t, r, m, p), bodyFaults(t, c, r),
		lastGasFaults(c.formulas, r.subject(), r.LastGas, len(outlet) == 0), r.upkeepFaults(t, r.subject(), r.name()))
}

func tubingFaults(t Test, c contact, x *Tubing) []fault {
	if x == nil {
		return nil
	}
	return slices.Concat(materialFaults(t, c, x), lengthFaults(t, c, x), lastGasFaults(c.formulas, x.subject(), x.LastGas, true), x.upkeepFaults(t, x.subject(), x.name()))
}

// capFaults asks about a cap that is not made for one of the models.
func capFaults(t Test, c *Cap, m []Instruments) []fault {
	if c == nil {
		return nil
	}
	found := c.upkeepFaults(t, c.Code, c.name())
	var others []string
	for _, group := range m {
		if group.Model != "" && !slices.Contains(c.Models, group.Model) && !slices.Contains(others, group.Model) {
			others = append(others, group.Model)
		}
	}
	if len(c.Models) > 0 && len(others) > 0 {
		found = append(found, fault{"", problem.Finding{
			Rule: "R23", Severity: problem.Ask, Subject: c.Code,
			Text:   fmt.Sprintf("%s is for %s, not for %s: what reaches the sensor is not what the manual's flow gives", c.name(), oneOf(c.Models), oneOf(others)),
			Advice: "take the cap that the manual names, or say why this one does",
		}})
	}
	return found
}

// weigh gives the severity where the value of the gas counts, and where gas only has to arrive.
func (t Test) weigh(exact, arrives problem.Severity) problem.Severity {
	if t.Purpose == Bump || t.Purpose == Line {
		return arrives
	}
	return exact
}

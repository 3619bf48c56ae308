package fit

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// bodyFaults holds the regulator's body against every component (rule R24).
func bodyFaults(t Test, c contact, r *Regulator) []fault {
	allowed := func() string { return c.permitted(bodies, func(w *wetted) []string { return w.Bodies }) }
	told := func(severity problem.Severity, text string) fault {
		return fault{"regulator_material", problem.Finding{Rule: "R24", Severity: severity, Subject: r.subject(), Text: text, Advice: "take a regulator with a body of " + allowed()}}
	}
	found := unlistedFaults(c.unlisted, "regulator_material", r.subject(), "body")
	body := material(r.Body)
	against := c.where(func(w *wetted) bool { return !slices.Contains(w.Bodies, body) })
	switch {
	case body == "":
		picky := c.where(func(w *wetted) bool { return len(w.Bodies) < len(bodies) })
		if len(picky) > 0 {
			found = append(found, told(t.weigh(problem.Ask, c.unsaid()), fmt.Sprintf("the body of %s is not entered, and not every one is for %s; permitted is %s", r.name(), list(picky), allowed())))
		}
	case !slices.Contains(bodies, body):
		found = append(found, told(problem.Ask, fmt.Sprintf("the table of materials does not name %q, the body of %s", body, r.name())))
	case len(against) > 0:
		found = append(found, told(problem.Stop, fmt.Sprintf("the body of %s is %s, which is not for %s; permitted is %s", r.name(), body, list(against), allowed())))
	}
	return found
}

// materialFaults holds the tubing's material against every component (rule R24).
func materialFaults(t Test, c contact, x *Tubing) []fault {
	allowed := func() string { return c.permitted(tubings, func(w *wetted) []string { return w.TubingOK }) }
	told := func(severity problem.Severity, text string) fault {
		return fault{"tubing_material", problem.Finding{Rule: "R24", Severity: severity, Subject: x.subject(), Text: text, Advice: "take tubing of " + allowed()}}
	}
	found := unlistedFaults(c.unlisted, "tubing_material", x.subject(), "tubing")
	made := material(x.Material)
	stop := c.where(func(w *wetted) bool { return slices.Contains(w.TubingStop, made) })
	ask := c.where(func(w *wetted) bool { return slices.Contains(w.TubingAsk, made) })
	silent := c.where(func(w *wetted) bool {
		return !slices.Contains(w.TubingOK, made) && !slices.Contains(w.TubingAsk, made) && !slices.Contains(w.TubingStop, made)
	})
	switch {
	case made == "":
		return append(found, told(t.weigh(problem.Ask, c.unsaid()), fmt.Sprintf("the material of %s is not entered; permitted is %s", x.name(), allowed())))
	case !slices.Contains(tubings, made):
		return append(found, told(problem.Ask, fmt.Sprintf("the table of materials does not name %q, of which %s is", made, x.name())))
	case len(stop) > 0:
		return append(found, told(problem.Stop, fmt.Sprintf("%s is of %s, which is not for %s; permitted is %s", x.name(), made, list(stop), allowed())))
	}
	if len(ask) > 0 {
		found = append(found, told(problem.Ask, fmt.Sprintf("%s is of %s, which takes up %s at first: longer exposure", x.name(), made, list(ask))))
	}
	if len(silent) > 0 {
		found = append(found, told(problem.Ask, fmt.Sprintf("%s is of %s, of which the table of materials says nothing for %s", x.name(), made, list(silent))))
	}
	return found
}

// unsaid is how a material that nobody entered weighs where gas only has to arrive: more for a gas that has a set of its own.
func (c contact) unsaid() problem.Severity {
	if len(c.where(func(w *wetted) bool { return w.Dedicated })) > 0 {
		return problem.Ask
	}
	return problem.Note
}

// unlistedFaults asks about components that the table does not have.
func unlistedFaults(unlisted []string, reason, subject, part string) []fault {
	if len(unlisted) == 0 {
		return nil
	}
	return []fault{{reason, problem.Finding{
		Rule: "R24", Severity: problem.Ask, Subject: subject,
		Text:   fmt.Sprintf("the table of materials has no row for %s", list(unlisted)),
		Advice: "ask the gas supplier which " + part + " it may touch, and give the answer as the reason",
	}}}
}

// lengthFaults limits calibration tubing by the component that allows the least; a sample line is as long as at work.
func lengthFaults(t Test, c contact, x *Tubing) []fault {
	if t.Purpose == Line || len(c.rows) == 0 {
		return nil
	}
	limit := slices.MinFunc(c.rows, func(a, b *wetted) int { return cmp.Compare(a.MaxLengthM, b.MaxLengthM) }).MaxLengthM
	if x.Length <= unit.Length(math.Round(limit*1000)) {
		return nil
	}
	shortest := c.where(func(w *wetted) bool { return w.MaxLengthM == limit })
	return []fault{{"tubing_length", problem.Finding{
		Rule: "R24", Severity: t.weigh(problem.Stop, problem.Ask), Subject: x.subject(),
		Text:   fmt.Sprintf("%s is %s m long, %s m at most is permitted for %s: gas is lost on the way, and once calibrated a monitor would then read high", x.name(), figure(x.Length.Metres()), figure(limit), list(shortest)),
		Advice: fmt.Sprintf("take tubing of %s m at most", figure(limit)),
	}}}
}

func list(words []string) string { return strings.Join(words, ", ") }

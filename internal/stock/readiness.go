package stock

import (
	"slices"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// The states of readiness (R60).
const (
	Usable   = "usable"
	Limited  = "limited"
	DoNotUse = "do_not_use"
)

// readiness says what a cylinder may be used for on a day: the same decision as at check-out, for a bump test and for a
// calibration of which nothing more is known (R60).
func (v *view) readiness(c cylinder, on unit.Date) Readiness {
	bump := v.soundness(c, need{purpose: Bump, from: on, until: on})
	calibration := v.soundness(c, need{purpose: Calibration, from: on, until: on})
	r := Readiness{State: DoNotUse, Purposes: []Purpose{}, Findings: merge(bump, calibration)}
	if problem.Worst(bump) != problem.Stop {
		r.Purposes = append(r.Purposes, Bump)
	}
	if problem.Worst(calibration) != problem.Stop {
		r.Purposes = append(r.Purposes, Calibration)
	}
	switch len(r.Purposes) {
	case 2:
		r.State = Usable
	case 1:
		r.State = Limited
	}
	return r
}

// soundness is decide without what belongs to one check-out alone: the regulator and the amount that are not named yet, and
// that somebody has the cylinder, who wants to know this himself.
func (v *view) soundness(c cylinder, n need) []problem.Finding {
	var found []problem.Finding
	for _, f := range v.decide(c, n).findings {
		switch {
		case f.Rule == "R21", f.Rule == "R20" && f.Severity != problem.Stop:
			continue
		case f.Rule == "R30":
			f.Severity = problem.Note
		}
		found = append(found, f)
	}
	return found
}

// merge puts the findings of both purposes together, worst first. What holds for only one of them says so.
func merge(bump, calibration []problem.Finding) []problem.Finding {
	merged := []problem.Finding{}
	for _, f := range bump {
		if !slices.Contains(calibration, f) && f.Severity == problem.Stop {
			f.Text = "for bump tests: " + f.Text
		}
		merged = append(merged, f)
	}
	for _, f := range calibration {
		if slices.Contains(bump, f) {
			continue
		}
		f.Text = "for calibration: " + f.Text
		merged = append(merged, f)
	}
	return problem.Sort(merged)
}

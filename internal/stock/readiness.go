package stock

import (
	"slices"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// The states of readiness (R60).
const (
	Usable   = "usable"
	Limited  = "limited"
	DoNotUse = "do_not_use"
)

// Readiness is what the cylinder may be used for on a day, with everything that the rules say of it.
type Readiness struct {
	State     string            `json:"state"`    // usable, limited, do_not_use
	Purposes  []Purpose         `json:"purposes"` // those that nothing stops
	ByPurpose []ReadyFor        `json:"by_purpose"`
	Findings  []problem.Finding `json:"findings"`
}

// ReadyFor is the readiness for one purpose; Why says what limits or stops it, and is "" where nothing does.
type ReadyFor struct {
	Purpose Purpose `json:"purpose"`
	State   string  `json:"state"`
	Why     string  `json:"why"`
}

// purposes are what the gas of a lot is for: zero where it has nothing but a balance gas to show, else every use of a test gas.
func (l *lot) purposes() []Purpose {
	for _, p := range l.parts {
		if !p.Balance {
			return []Purpose{Bump, Line, Check, Calibration}
		}
	}
	return []Purpose{Zero}
}

// readiness says what a cylinder may be used for on a day: the same decision as at check-out, for a test of each purpose of
// which nothing more is known (R60).
func (v *view) readiness(c cylinder, on unit.Date) Readiness {
	r := Readiness{Purposes: []Purpose{}}
	var loose, exact []problem.Finding
	for _, p := range c.lot.purposes() {
		found := v.soundness(c, need{purpose: p, from: on, until: on})
		if p.exact() {
			exact = found
		} else {
			loose = found
		}
		ready := readyFor(p, found)
		r.ByPurpose = append(r.ByPurpose, ready)
		if ready.State != DoNotUse {
			r.Purposes = append(r.Purposes, p)
		}
	}
	r.State = overall(r.ByPurpose)
	if r.ByPurpose[0].Purpose == Zero { // and nothing else, to tell it from
		loose = exact
	}
	r.Findings = merge(loose, exact)
	return r
}

// readyFor sums up what the rules say for one purpose.
func readyFor(p Purpose, found []problem.Finding) ReadyFor {
	ready := ReadyFor{Purpose: p, State: Usable}
	counts := limits
	if problem.Worst(found) == problem.Stop {
		ready.State = DoNotUse
		counts = func(f problem.Finding) bool { return f.Severity == problem.Stop }
	}
	var why []string
	for _, f := range only(found, counts) {
		why = append(why, f.Text)
	}
	if len(why) > 0 && ready.State == Usable {
		ready.State = Limited
	}
	ready.Why = strings.Join(why, "; ")
	return ready
}

// limits tells whether a finding makes a use one with limits: it asks for a reason, or the gas is good for less than it was made for.
func limits(f problem.Finding) bool {
	return f.Severity == problem.Ask || f.Severity == problem.Note && (f.Rule == "R27" || f.Rule == "R51")
}

// overall is the one state that all purposes share, or else limited.
func overall(all []ReadyFor) string {
	for _, one := range all[1:] {
		if one.State != all[0].State {
			return Limited
		}
	}
	return all[0].State
}

// soundness is decide without what belongs to one check-out alone: the regulator, the instruments and the amount that are not named yet, and
// that somebody has the cylinder, who wants to know this himself.
func (v *view) soundness(c cylinder, n need) []problem.Finding {
	var found []problem.Finding
	for _, f := range v.decide(c, n).findings {
		switch {
		case f.Rule == "R21", f.Rule == "R24b", f.Rule == "R28", f.Rule == "R20" && f.Severity != problem.Stop:
			continue
		case f.Rule == "R30":
			f.Severity = problem.Note
		}
		found = append(found, f)
	}
	return found
}

// merge puts the findings of bump tests and of calibrations together, worst first. What holds for only one of them says so.
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

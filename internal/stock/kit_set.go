package stock

import (
	"fmt"

	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/models"
)

// kitSet is the regulator set that goes with a cylinder, as far as its parts are named.
type kitSet struct {
	regulator *models.Regulator
	holds     []models.Hold // on the regulator
	parts     fit.Set
	out       map[string]store.Outing // parts that are out with another cylinder or were left on one, by code; nobody has the latter
	others    []problem.Finding       // where a regulator is that takes the outlet, for one that does not
}

// codes names the parts, "" for one that nobody named.
func (k kitSet) codes() (regulator, tubing, cap string) {
	if k.parts.Regulator != nil {
		regulator = k.parts.Regulator.Code
	}
	if k.parts.Tubing != nil {
		tubing = k.parts.Tubing.Code
	}
	if k.parts.Cap != nil {
		cap = k.parts.Cap.Code
	}
	return regulator, tubing, cap
}

// code names the part of a kind.
func (k kitSet) code(kind string) string {
	regulator, tubing, cap := k.codes()
	return map[string]string{ofRegulator: regulator, ofTubing: tubing, ofCap: cap}[kind]
}

// with is the set with one piece more.
func (k kitSet) with(p *piece) kitSet {
	switch p.kind {
	case ofRegulator:
		k.regulator, k.holds, k.parts.Regulator = p.row, p.holds, p.set.Regulator
	case ofTubing:
		k.parts.Tubing = p.set.Tubing
	default:
		k.parts.Cap = p.set.Cap
	}
	if p.tag != "" {
		out := map[string]store.Outing{p.code: {Tag: p.tag, Holder: p.with, TakenAt: p.since, Place: p.place}}
		for code, other := range k.out {
			out[code] = other
		}
		k.out = out
	}
	return k
}

// moved notes the parts that somebody else has by the book, or that were left on another cylinder (R53). Whoever holds one in the
// hand knows better.
func (v *view) moved(c cylinder, n need) []problem.Finding {
	var found []problem.Finding
	regulator, tubing, cap := n.along.codes()
	for _, code := range []string{regulator, tubing, cap} {
		o, moved := n.along.out[code]
		if !moved || o.Tag == c.Tag {
			continue
		}
		text := fmt.Sprintf("it was left on %s, at %s", o.Tag, o.Place)
		if o.Holder != "" {
			text = fmt.Sprintf("it went out on %s with %s since %s", o.Tag, o.Holder, v.clock(o.TakenAt))
		}
		found = append(found, problem.Finding{Rule: "R53", Severity: problem.Note, Subject: code, Text: text, Advice: "check that you hold the right one"})
	}
	return append(found, n.along.others...)
}

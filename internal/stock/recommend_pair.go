package stock

import (
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// Pair is two cylinders for one need: the opened one is finished first. Each can be checked out for its own part.
type Pair struct {
	First  PairPart `json:"first"`
	Second PairPart `json:"second"`
	Words  string   `json:"words"`
}

// PairPart is one of a pair with its share of the tests.
type PairPart struct {
	Tag   unit.Tag    `json:"tag"`
	Place string      `json:"place"`
	Tests []TestOrder `json:"tests"`
	NeedL float64     `json:"need_l"`
}

// mostFirsts bounds how many short cylinders are tried as the first of a pair.
const mostFirsts = 5

// pair offers to finish one cylinder and go on with another, for bump work that no opened one suffices for (R16a). An
// instrument is never calibrated with two.
func (f *field) pair() *Pair {
	if f.purpose.exact() || len(f.tests) == 0 {
		return nil
	}
	for _, i := range f.fit {
		if f.candidates[i].Stage == Opened {
			return nil
		}
	}
	tried := 0
	for _, i := range f.turn {
		first := f.candidates[i]
		if !first.onlyShort() || first.Stage != Opened && len(f.fit) > 0 {
			continue
		}
		if tried++; tried > mostFirsts {
			return nil
		}
		if p := f.pairFrom(first); p != nil {
			return p
		}
	}
	return nil
}

// onlyShort tells whether a cylinder could be taken if it held more gas.
func (d verdict) onlyShort() bool {
	rules := d.stopRules()
	return len(rules) == 1 && rules[0] == "R20" && d.contents.err == nil && d.contents.Litres > 0
}

// pairFrom gives the first cylinder that can go on where this one ends.
func (f *field) pairFrom(first candidate) *Pair {
	part, rest := f.need.split(first.contents.Low)
	if len(part.tests) == 0 || len(rest.tests) == 0 || f.decide(*first.cylinder, part).stopped() {
		return nil
	}
	for _, i := range append(append([]int{}, f.fit...), f.turn...) {
		second := f.candidates[i]
		if second.ID == first.ID || second.stopped() && !second.onlyShort() || f.decide(*second.cylinder, rest).stopped() {
			continue
		}
		return &Pair{
			First: pairPart(first, part), Second: pairPart(second, rest),
			Words: fmt.Sprintf("finish %s (%s), then %s (%s)", first.Tag, part.words(), second.Tag, rest.words()),
		}
	}
	return nil
}

func pairPart(c candidate, n need) PairPart {
	p := PairPart{Tag: c.Tag, Place: c.place, NeedL: n.litres()}
	for _, t := range n.tests {
		p.Tests = append(p.Tests, TestOrder{t.Code, t.Count})
	}
	return p
}

// suggestions names opened, strongly adsorbing gas of which little is left and which lasts long enough: good for bump tests
// before anything else is opened (R16c).
func (f *field) suggestions() []problem.Finding {
	found := []problem.Finding{}
	if f.purpose.exact() {
		return found
	}
	for rank, i := range f.fit {
		c := f.candidates[i]
		if rank == 0 || c.Stage != Opened || c.contents.Litres >= f.settings.SuggestBelowL || !c.lot.sticky(f.settings.AdsorbingAbovePPM) {
			continue
		}
		days := f.today.DaysUntil(c.useBy.ExpiresOn)
		if days <= int(f.settings.SuggestDays) {
			continue
		}
		text := fmt.Sprintf("it is opened, has %.1f L and %d days left", c.contents.Litres, days)
		found = append(found, one("R16", problem.Note, *c.cylinder, text, "use it up with bump tests, and keep the fuller one for calibrations")...)
	}
	return found
}

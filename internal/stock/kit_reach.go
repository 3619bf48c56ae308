package stock

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/problem"
)

// there tells whether a piece can be taken from where it is: nobody has it, and it is neither held nor in a van or at another site.
func (f *field) there(c candidate, p *piece) bool {
	return p.with == "" && len(p.holds) == 0 && f.distance(c, p) < outOfReach
}

// How far a piece is from whoever takes the cylinder.
const (
	onIt = iota
	whereAsked
	besideIt
	onSite
	nobodyKnows
	outOfReach
)

func (f *field) distance(c candidate, p *piece) int {
	kind := f.kits.places[p.place]
	switch {
	case p.leftOn && p.tag == c.Tag:
		return onIt
	case p.place == "":
		return nobodyKnows
	case p.place == f.place:
		return whereAsked
	case p.place == c.place:
		return besideIt
	case kind == "van" || kind == "site":
		return outOfReach
	}
	return onSite
}

// prefer puts what says least against itself first; then what is kept for a gas that needs that, and the nearest.
func (f *field) prefer(c candidate, a, b suit) int {
	notes := func(s suit) int {
		n := len(s.found)
		if s.leftOn && s.tag != c.Tag {
			n++
		}
		return n
	}
	far := func(s suit) int { return f.distance(c, s.piece) }
	return cmp.Or(cmp.Compare(notes(a), notes(b)), before(a.kept, b.kept), cmp.Compare(far(a), far(b)))
}

func before(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// fetched says from where a piece is fetched.
func (f *field) fetched(c candidate, p *piece) string {
	switch f.distance(c, p) {
	case onIt:
		return ", left on it"
	case nobodyKnows:
		return ""
	}
	return ", " + p.where(f.view)
}

// lacks says which kind of piece is missing, and what becomes of the one that comes nearest.
func (f *field) lacks(c candidate, n need, kind string) string {
	text := fmt.Sprintf("no %s for %s is here", kind, f.asked(c, kind))
	best, nearest := "", tooFar
	for _, s := range f.suiting(c, kind) {
		if words, far := f.near(c, n, s); far < nearest {
			best, nearest = "; "+words, far
		}
	}
	return text + best
}

// How near a piece comes that is not named.
const (
	elsewhere = iota
	onHold
	tooMuch
	forAReason
	butForOne
	tooFar
)

// near says why a piece is not named.
func (f *field) near(c candidate, n need, s suit) (words string, far int) {
	against := only(s.found, func(found problem.Finding) bool { return found.Severity == s.worst() })
	far = tooFar
	switch worst := s.worst(); {
	case worst == problem.Note && len(s.holds) > 0:
		return s.code + " is on hold: " + s.holds[0].Reason, onHold
	case worst == problem.Note && !f.there(c, s.piece):
		return s.code + " is " + s.where(f.view), elsewhere
	case worst == problem.Note: // what only the whole decision tells, as of too little gas
		against, far = f.worse(c, n, s.piece), tooMuch
	case worst == problem.Ask:
		far = forAReason
	case len(against) == 1 && against[0].Rule != "R21":
		far = butForOne
	}
	if len(against) == 0 {
		return "", tooFar
	}
	return s.code + ": " + against[0].Text, far
}

// asked is what a piece of a kind has to suit.
func (f *field) asked(c candidate, kind string) string {
	switch kind {
	case ofRegulator:
		return fmt.Sprintf("%s, %.0f bar and this flow", c.item.Outlet, c.item.FillPressure.Bar())
	case ofTubing:
		return strings.Join(formulasOf(c.lot.parts), ", ")
	}
	var models []string
	for _, m := range f.on {
		if !slices.Contains(models, m.Model) {
			models = append(models, m.Model)
		}
	}
	return strings.Join(models, " and ")
}

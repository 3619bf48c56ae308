package stock

import (
	"cmp"
	"slices"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/models"
)

// kitKey is what decides how pieces suit a cylinder; those of one lot and item share an answer.
type kitKey struct {
	lot   *lot
	paper *certificate
	item  int64
}

// suit is how one piece suits a cylinder and the instruments: what is found with it beyond what is found without.
type suit struct {
	*piece
	found []problem.Finding
	kept  bool // for this gas, which nothing else may follow
}

// worst is the hardest of what is found, a note where there is nothing.
func (s suit) worst() problem.Severity { return cmp.Or(problem.Worst(s.found), problem.Note) }

// suiting tells of every piece of a kind how it suits a cylinder.
func (f *field) suiting(c candidate, kind string) []suit {
	key := kitKey{c.lot, c.paper, c.ItemID}
	all, known := f.kits.suits[key]
	if !known {
		all = f.suit(c)
		if f.kits.suits == nil {
			f.kits.suits = map[kitKey][]suit{}
		}
		f.kits.suits[key] = all
	}
	return only(all, func(s suit) bool { return s.kind == kind })
}

func (f *field) suit(c candidate) []suit {
	var all []suit
	without, exclusive := f.fitted(c, fit.Set{}), c.gas().Dedicated()
	for _, p := range f.kits.pieces {
		if p.row != nil && !f.flows(*p.row) {
			continue
		}
		s := suit{piece: p, kept: exclusive && len(*p.gases()) > 0}
		s.found = only(f.fitted(c, p.set), func(found problem.Finding) bool { return !slices.Contains(without, found) })
		all = append(all, s)
	}
	return all
}

// fitted holds a set against the gas, the outlet and the instruments. The findings name the item, as they hold for each of its
// cylinders.
func (f *field) fitted(c candidate, set fit.Set) []problem.Finding {
	b := f.bottle(*c.cylinder, f.need)
	b.Label = c.item.Code
	var found []problem.Finding
	for _, t := range f.testsToJudge() {
		found = append(found, fit.Fittings(f.test(t), b, set, t.on, f.policy)...)
	}
	return distinct(found)
}

// flows tells whether a regulator gives the flow of every procedure, as far as no instruments are named whose flow is known
// better. One on demand is then not proposed.
func (n need) flows(r models.Regulator) bool {
	return !slices.ContainsFunc(n.testsToJudge(), func(t testCount) bool {
		return len(t.on) == 0 && (r.Mode != catalogue.FixedFlow || r.Flow == 0 || t.Flow != 0 && t.Flow != r.Flow)
	})
}

// worse are the stops and asks that a regulator brings with it, those of its flow and its minimum inlet pressure among them.
func (f *field) worse(c candidate, n need, p *piece) []problem.Finding {
	known := slices.Concat(c.findings, f.fitted(c, fit.Set{}))
	return only(f.decide(*c.cylinder, n.withSet(n.along.with(p))).findings, func(found problem.Finding) bool {
		return found.Severity != problem.Note && !slices.ContainsFunc(known, func(k problem.Finding) bool {
			return k.Rule == found.Rule && k.Severity == found.Severity
		})
	})
}

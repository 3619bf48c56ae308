package stock

import (
	"context"
	"slices"

	"spanroom/internal/problem"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// field is every cylinder that could serve a need, each with its verdict, in the order in which to take them.
type field struct {
	*view
	wanted
	candidates []candidate
	fit        []int // of the candidates those that may be taken, in their turn
	why        []string
	turn       []int // the stopped ones, the pick and the opened ones, as if each might be taken; none where all may
	kits       kits
	sources    map[int64][]store.SourceOf // by item, where it matters who sells it
}

// candidate is one cylinder with its verdict.
type candidate struct {
	*cylinder
	verdict
}

// atHand are the stages in which a cylinder may be taken at all.
var atHand = []string{Received, Sealed, Opened}

// survey loads the cylinders that could serve and judges each.
func survey(ctx context.Context, s *store.Store, m moment, w wanted) (*field, error) {
	ids := make([]int64, len(w.products))
	for i, item := range w.products {
		ids[i] = item.ID
	}
	rows, err := s.Cylinders(ctx, store.CylinderFilter{ItemIDs: ids, Stages: atHand})
	if err != nil {
		return nil, err
	}
	v, list, err := look(ctx, s, m, rows)
	if err != nil {
		return nil, err
	}
	return judge(v, w, list), nil
}

// judge decides on each cylinder and ranks them. It is pure: what is recommended follows from what was loaded.
func judge(v *view, w wanted, list []cylinder) *field {
	f := &field{view: v, wanted: w, candidates: make([]candidate, len(list))}
	at := make(map[unit.Tag]int, len(list))
	passing := make([]shelf.Standing, 0, len(list))
	var rest []shelf.Standing
	for i := range list {
		c := &list[i]
		f.candidates[i], at[c.Tag] = candidate{c, v.decide(*c, w.need)}, i
		if s := f.standing(f.candidates[i]); f.candidates[i].stopped() {
			rest = append(rest, s)
		} else {
			passing = append(passing, s)
		}
	}
	grace := int(v.settings.GraceDays)
	for _, r := range shelf.Rank(passing, grace) {
		f.fit, f.why = append(f.fit, at[r.Tag]), append(f.why, r.Why)
	}
	if len(rest) == 0 {
		return f
	}
	for _, s := range passing { // those that decide where the stopped ones would stand
		if s.Opened || at[s.Tag] == f.fit[0] {
			rest = append(rest, s)
		}
	}
	for _, r := range shelf.Rank(rest, grace) {
		f.turn = append(f.turn, at[r.Tag])
	}
	return f
}

func (f *field) standing(c candidate) shelf.Standing {
	return shelf.Standing{
		Tag: c.Tag, Opened: c.Stage == Opened, UseBy: c.useBy.ExpiresOn, UsableML: unit.VolumeLitres(c.contents.Litres),
		SamePlace: f.place != "" && c.place == f.place, Asks: c.asks(), Sought: f.sought[c.Tag],
		ReceivedAt: c.ReceivedAt,
	}
}

// best gives the cylinder to take, or nil.
func (f *field) best() *candidate {
	if len(f.fit) == 0 {
		return nil
	}
	return &f.candidates[f.fit[0]]
}

// passedOver lists the stopped cylinders that would have come before the pick, and counts all of them by rule.
func (f *field) passedOver() ([]PassedOver, map[string]int) {
	before, counts := []PassedOver{}, map[string]int{}
	picked := false
	for _, i := range f.turn {
		c := &f.candidates[i]
		if !c.stopped() {
			picked = picked || i == f.fit[0]
			continue
		}
		for _, rule := range c.stopRules() {
			counts[rule]++
		}
		if !picked && len(before) < mostPassedOver {
			before = append(before, PassedOver{c.Tag, c.place, c.custody().Checkout, only(c.findings, func(f problem.Finding) bool { return f.Severity != problem.Note })})
		}
	}
	return before, counts
}

// stopRules lists the rules that stop the cylinder, each once.
func (d verdict) stopRules() []string {
	var rules []string
	for _, f := range d.findings {
		if f.Severity == problem.Stop && !slices.Contains(rules, f.Rule) {
			rules = append(rules, f.Rule)
		}
	}
	return rules
}

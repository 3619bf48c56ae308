package stock

import (
	"context"
	"slices"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// Recommendation is one pick for a need, with what else would do and what was passed over, and why (R15, R16).
type Recommendation struct {
	Need            NeedAnswer        `json:"need"`
	NeedL           float64           `json:"need_l"`
	Margin          *MarginAnswer     `json:"margin_l"` // of the pick
	Reference       string            `json:"reference"`
	Pick            *Pick             `json:"pick"` // null where nothing may be taken; the findings say why
	Alternatives    []Pick            `json:"alternatives"`
	PassedOver      []PassedOver      `json:"passed_over"`
	PassedOverCount map[string]int    `json:"passed_over_count"` // how many cylinders each rule stops
	Pair            *Pair             `json:"pair"`
	Findings        []problem.Finding `json:"findings"`
	SettingsVersion int64             `json:"settings_version"`
}

// MarginAnswer is what is left over after the need, as expected and at the low end of its interval.
type MarginAnswer struct {
	Expected float64 `json:"expected"`
	Low      float64 `json:"low"`
}

// PassedOver is a cylinder that would have come before the pick, and what stops it.
type PassedOver struct {
	Tag      unit.Tag          `json:"tag"`
	Place    string            `json:"place"`
	Findings []problem.Finding `json:"findings"`
}

const (
	mostAlternatives = 3
	mostPassedOver   = 20
)

// Recommend says which cylinder to take for an order. It changes nothing.
func (r Room) Recommend(ctx context.Context, by auth.Person, o TakeOrder) (Recommendation, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return Recommendation{}, err
	}
	w, err := readNeed(ctx, r.Store, m, by, o)
	if err != nil {
		return Recommendation{}, err
	}
	f, err := survey(ctx, r.Store, m, w)
	if err != nil {
		return Recommendation{}, err
	}
	if err := f.furnish(ctx, r.Store); err != nil {
		return Recommendation{}, err
	}
	return f.recommend(), nil
}

// field is every cylinder that could serve a need, each with its verdict, in the order in which to take them.
type field struct {
	*view
	wanted
	candidates []candidate
	fit        []int // of the candidates those that may be taken, in their turn
	why        []string
	turn       []int // all candidates, as if each might be taken; none where all may
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
	passing, everyone := make([]shelf.Standing, 0, len(list)), make([]shelf.Standing, len(list))
	for i := range list {
		c := &list[i]
		d := v.decide(*c, w.need)
		f.candidates[i], at[c.Tag] = candidate{c, d}, i
		everyone[i] = shelf.Standing{
			Tag: c.Tag, Opened: c.Stage == Opened, UseBy: d.useBy.ExpiresOn, UsableML: unit.VolumeLitres(d.contents.Litres),
			SamePlace: w.place != "" && c.place == w.place, Asks: d.asks(), ReceivedAt: c.ReceivedAt,
		}
		if !d.stopped() {
			passing = append(passing, everyone[i])
		}
	}
	grace := int(v.settings.GraceDays)
	for _, r := range shelf.Rank(passing, grace) {
		f.fit, f.why = append(f.fit, at[r.Tag]), append(f.why, r.Why)
	}
	if len(passing) < len(list) {
		for _, r := range shelf.Rank(everyone, grace) {
			f.turn = append(f.turn, at[r.Tag])
		}
	}
	return f
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
			before = append(before, PassedOver{c.Tag, c.place, c.findings})
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

// furnish loads what the answer tells beside the cylinders: the regulators at hand, and who sells the gas.
func (f *field) furnish(ctx context.Context, s *store.Store) (err error) {
	if f.kits, err = loadKits(ctx, s, f.places, f.place); err != nil {
		return err
	}
	f.sources, err = sellers(ctx, s, f.bought())
	return err
}

func sellers(ctx context.Context, s *store.Store, items []int64) (map[int64][]store.SourceOf, error) {
	sources := make(map[int64][]store.SourceOf, len(items))
	for _, id := range items {
		rows, err := s.SourcesOf(ctx, id)
		if err != nil {
			return nil, err
		}
		sources[id] = rows
	}
	return sources, nil
}

// bought lists the items of which it matters who sells them: those whose last sealed cylinder is offered, or all that were
// asked for where nothing is.
func (f *field) bought() []int64 {
	var items []int64
	for _, i := range f.fit[:min(len(f.fit), 1+mostAlternatives)] {
		if c := f.candidates[i]; f.lastSealed(*c.cylinder) {
			items = append(items, c.ItemID)
		}
	}
	if len(f.fit) == 0 {
		for _, item := range f.products {
			items = append(items, item.ID)
		}
	}
	return items
}

// recommend puts the answer together.
func (f *field) recommend() Recommendation {
	a := Recommendation{
		Need: f.needAnswer(), NeedL: f.litres(), Reference: f.settings.Reference, Alternatives: []Pick{}, Findings: f.suggestions(),
		Pair: f.pair(), SettingsVersion: f.settings.Version,
	}
	a.PassedOver, a.PassedOverCount = f.passedOver()
	for rank, i := range f.fit[:min(len(f.fit), 1+mostAlternatives)] {
		pick := f.pick(f.candidates[i], f.why[rank])
		if rank > 0 {
			a.Alternatives = append(a.Alternatives, pick)
			continue
		}
		a.Pick, a.Margin = &pick, &pick.Margin
	}
	if a.Pick == nil {
		a.Findings = append(a.Findings, f.nothing(a.Pair, a.PassedOverCount))
	}
	return a
}

// NeedAnswer repeats what was asked for, as it was understood.
type NeedAnswer struct {
	Item     string      `json:"item"`
	Blend    string      `json:"blend"`
	Purpose  Purpose     `json:"purpose"`
	Tests    []TestOrder `json:"tests"`
	From     unit.Date   `json:"from"`
	Until    unit.Date   `json:"until"`
	Place    string      `json:"place"`
	PurgeL   float64     `json:"purge_l"`
	RetryPct float64     `json:"retry_pct"`
	Words    string      `json:"words"` // "14 bumps and 2 calibrations"
}

func (w wanted) needAnswer() NeedAnswer {
	a := NeedAnswer{
		Blend: w.blend.Code, Purpose: w.purpose, Tests: []TestOrder{}, From: w.from, Until: w.until, Place: w.place,
		PurgeL: w.purgeLitres(), RetryPct: w.retryPct, Words: w.words(),
	}
	if len(w.products) == 1 {
		a.Item = w.products[0].Code
	}
	for _, t := range w.tests {
		a.Tests = append(a.Tests, TestOrder{t.Code, t.Count})
	}
	return a
}

// procedures lists those of the tests, each once.
func (n need) procedures() []models.Procedure {
	var some []models.Procedure
	for _, t := range n.tests {
		if !slices.ContainsFunc(some, func(p models.Procedure) bool { return p.ID == t.ID }) {
			some = append(some, t.Procedure)
		}
	}
	return some
}

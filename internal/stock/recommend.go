package stock

import (
	"context"
	"slices"

	"spanroom/internal/auth"
	"spanroom/internal/fit"
	"spanroom/internal/problem"
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
	Steps           []string          `json:"steps"` // in which order to work with the pick, where values are relied on
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
	Checkout int64             `json:"checkout"` // that it is out with; 0 for none
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

// furnish loads what the answer tells beside the cylinders: the regulators at hand, and who sells the gas.
func (f *field) furnish(ctx context.Context, s *store.Store) (err error) {
	if f.kits, err = loadKits(ctx, s); err != nil {
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
		Need: f.needAnswer(), NeedL: f.litres(), Reference: f.settings.Reference, Alternatives: []Pick{}, Steps: []string{}, Findings: f.suggestions(),
		Pair: f.pair(), SettingsVersion: f.settings.Version,
	}
	a.PassedOver, a.PassedOverCount = f.passedOver()
	for rank, i := range f.fit[:min(len(f.fit), 1+mostAlternatives)] {
		pick := f.pick(f.candidates[i], f.why[rank])
		if rank > 0 {
			a.Alternatives = append(a.Alternatives, pick)
			continue
		}
		a.Pick, a.Margin, a.Steps = &pick, &pick.Margin, pick.Steps
	}
	if a.Pick == nil {
		a.Findings = append(a.Findings, f.nothing(a.Pair, a.PassedOverCount))
	}
	return a
}

// steps says in which order to work with a cylinder, or another one of its item (R17b), after what is entered for this one; a bump
// needs none.
func (f *field) steps(c candidate) []string {
	if !f.purpose.exact() {
		return []string{}
	}
	gas := c.gas()
	gas.Label = c.item.Code
	return append(f.entries(*c.cylinder, f.need, "enter %s in %s first"), fit.Steps([]fit.Turn{{Purpose: fit.Purpose(f.purpose), Gas: gas}}, f.on)...)
}

// NeedAnswer repeats what was asked for, as it was understood.
type NeedAnswer struct {
	Item        string      `json:"item"`
	Blend       string      `json:"blend"`
	Purpose     Purpose     `json:"purpose"`
	Tests       []TestOrder `json:"tests"`
	Instruments []string    `json:"instruments"`
	Proves      string      `json:"proves"`
	From        unit.Date   `json:"from"`
	Until       unit.Date   `json:"until"`
	Place       string      `json:"place"`
	PurgeL      float64     `json:"purge_l"`
	RetryPct    float64     `json:"retry_pct"`
	Words       string      `json:"words"` // "14 bumps and 2 calibrations"
}

func (w wanted) needAnswer() NeedAnswer {
	a := NeedAnswer{
		Blend: w.blend.Code, Purpose: w.purpose, Tests: []TestOrder{}, Instruments: append([]string{}, w.serials...), Proves: ProvesAll, From: w.from, Until: w.until, Place: w.place,
		PurgeL: w.purgeLitres(), RetryPct: w.retryPct, Words: w.words(),
	}
	if len(w.products) == 1 {
		a.Item = w.products[0].Code
	}
	if w.lowOnly {
		a.Proves = ProvesLow
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

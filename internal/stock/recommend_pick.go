package stock

import (
	"fmt"
	"slices"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// Pick is one cylinder that may be taken: where it is, why this one, how far it lasts, what its label must read, and what
// goes with it.
type Pick struct {
	Tag      unit.Tag `json:"tag"`
	Item     string   `json:"item"`
	ItemName string   `json:"item_name"`
	Supplier string   `json:"supplier"`
	Lot      string   `json:"lot"`
	Place    string   `json:"place"`
	Stage    string   `json:"stage"`
	Checkout int64    `json:"checkout"` // that it is out with; 0 for none
	Why      string   `json:"why"`
	LastReading
	UsableAnswer
	UseByDate
	TestsLeft   []TestsLeft       `json:"tests_left"`
	Margin      MarginAnswer      `json:"margin_l"`
	LabelValues []string          `json:"label_values"` // "H2S 24.6 ppm"
	Balance     string            `json:"balance"`
	Outlet      string            `json:"outlet"`
	KeptFor     []string          `json:"kept_for"` // formulas for which a set is kept that nothing else goes through; none where the gas needs no such
	Kit         Kit               `json:"kit"`
	Compared    string            `json:"compared"`     // with which instruments
	ToCertified []string          `json:"to_certified"` // what the instruments may be set to, to match this cylinder
	Steps       []string          `json:"steps"`        // in which order to work with it, where values are relied on
	Findings    []problem.Finding `json:"findings"`
	Version     int64             `json:"version"`
}

// pick tells everything about a candidate. Its findings are those with the kit, where one is at hand.
func (f *field) pick(c candidate, why string) Pick {
	kit, n := f.kit(c)
	kit.Parts = f.parts(kit)
	d := f.decide(*c.cylinder, n)
	p := Pick{
		Tag: c.Tag, Item: c.item.Code, ItemName: c.item.Name, Supplier: c.lot.supplier.Name, Lot: c.lot.Lot.Lot, Place: c.place, Stage: c.Stage, Checkout: c.custody().Checkout,
		Why: why, LastReading: c.lastReading(), UsableAnswer: f.usableWith(*c.cylinder, d.contents), UseByDate: useByDate(d.useBy, f.today),
		TestsLeft: f.leftOf(*c.cylinder, n), Margin: MarginAnswer{d.margin.Expected, d.margin.Low}, LabelValues: c.labelValues(), Outlet: c.item.Outlet, KeptFor: c.keptFor(),
		Kit: kit, Compared: f.on.words(), ToCertified: f.toCertified(*c.cylinder, n), Steps: f.steps(c),
		Findings: append(append([]problem.Finding{}, d.findings...), f.last(*c.cylinder)...), Version: c.Version,
	}
	for _, a := range c.amounts() {
		if a.Source == "balance" {
			p.Balance = a.Component
		}
	}
	return p
}

// last notes that a cylinder is the last sealed one of its item where a new one is far away (R16d).
func (f *field) last(c cylinder) []problem.Finding {
	days, slow := slowReplenishment(f.sources[c.ItemID], f.settings.ReplenishmentDays)
	if !slow || !f.lastSealed(c) {
		return nil
	}
	text := fmt.Sprintf("it is the last sealed one of %s, and a new one takes %d days", c.item.Code, days)
	return one("R16", problem.Note, c, text, "the purchaser is told when it is taken")
}

// lastSealed tells whether there is no other sealed one of its item; those that somebody has do not count.
func (f *field) lastSealed(c cylinder) bool {
	return c.Stage == Sealed && !slices.ContainsFunc(f.candidates, func(other candidate) bool {
		return other.ItemID == c.ItemID && other.Stage == Sealed && other.ID != c.ID && other.HolderID == nil
	})
}

// slowReplenishment gives the days until the fastest supplier delivers, and whether that is longer than the site takes for granted.
// A supplier whose lead time nobody has entered says nothing.
func slowReplenishment(sources []store.SourceOf, limit int64) (int64, bool) {
	fastest := int64(-1)
	for _, s := range sources {
		if s.LeadDays > 0 && (fastest < 0 || s.LeadDays < fastest) {
			fastest = s.LeadDays
		}
	}
	return fastest, fastest > limit
}

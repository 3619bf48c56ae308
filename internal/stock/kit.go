package stock

import (
	"context"
	"fmt"
	"slices"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/models"
)

// Kit is the regulator set to take along: null is a part that has to be chosen by hand, and Missing says why.
type Kit struct {
	Regulator *string `json:"regulator"`
	Tubing    *string `json:"tubing"`
	Cap       *string `json:"cap"`
	Why       string  `json:"why"`
	Missing   string  `json:"missing"`
}

// kits are the regulators at hand, those at the place where the person asks first.
type kits []regulator

// regulator is one regulator with the holds on it and who has it.
type regulator struct {
	models.Regulator
	holds   []models.Hold
	out     *store.Outing
	here    bool
	lastGas string // the component that it was last used on, where somebody said so
}

func loadKits(ctx context.Context, s *store.Store, places map[int64]string, place string) (kits, error) {
	rows, err := s.Regulators(ctx)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	holds, err := s.RegulatorHolds(ctx)
	if err != nil {
		return nil, err
	}
	out, err := s.RegulatorsOut(ctx)
	if err != nil {
		return nil, err
	}
	last, err := catalogue.LastGases(ctx, s)
	if err != nil {
		return nil, err
	}
	all := make(kits, len(rows))
	for i, row := range rows {
		all[i] = regulator{Regulator: row, holds: holds[row.ID], lastGas: last[row.Code], here: place != "" && row.PlaceID != nil && places[*row.PlaceID] == place}
		if o, gone := out[row.Code]; gone {
			all[i].out = &o
		}
	}
	slices.SortStableFunc(all, func(a, b regulator) int { return before(a.here, b.here) })
	return all, nil
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

// kit names the first regulator at hand with which the cylinder may be taken as well as without one: outlet, rating and flow
// fit, and nothing more is asked.
func (f *field) kit(c candidate) (Kit, *regulator) {
	for i := range f.kits {
		r := &f.kits[i]
		if r.out != nil || len(r.holds) > 0 || r.Inlet != c.item.Outlet || !f.flows(r.Regulator) || !r.knows(c.lot) {
			continue
		}
		d := f.decide(*c.cylinder, f.need.with(&r.Regulator, nil))
		if worst := problem.Worst(d.findings); worst == problem.Stop || worst == problem.Ask && !c.asks() {
			continue
		}
		why := fmt.Sprintf("%s, %.0f bar, %g L/min", r.Inlet, r.MaxPressure.Bar(), r.Flow.LitresPerMinute())
		return Kit{Regulator: &r.Code, Why: why, Missing: "tubing and cap as the instrument maker's manual says"}, r
	}
	return Kit{Missing: fmt.Sprintf("no regulator for %s, %.0f bar and this flow is at hand", c.item.Outlet, c.item.FillPressure.Bar())}, nil
}

// knows tells whether a regulator was last used on a gas that is in the blend, or on none that anybody named. Others are not
// proposed; whoever takes one in the hand reads its tag.
func (r regulator) knows(l *lot) bool {
	return r.lastGas == "" || slices.ContainsFunc(l.parts, func(p store.BlendComponent) bool { return p.Code == r.lastGas })
}

// flows tells whether a regulator is fixed at the flow of every procedure. One that gives on demand is not proposed: whether
// an instrument draws its own gas is not known here.
func (n need) flows(r models.Regulator) bool {
	if r.Mode != "fixed" || r.Flow == 0 {
		return false
	}
	return !slices.ContainsFunc(n.tests, func(t testCount) bool { return t.Flow != r.Flow })
}

package stock

import (
	"context"
	"slices"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// view is what is loaded once to look at any number of cylinders: their items, lots and holds, and the names of things.
type view struct {
	moment
	items   map[int64]models.Item
	lots    map[int64]*lot
	holds   map[holdKey][]models.Hold
	own     map[int64]*certificate // of single cylinders, by certificate id
	places  map[int64]string
	people  map[int64]string
	sought  map[unit.Tag]bool // the clerk looks for them
	memo    map[memoKey]contents
	useBys  map[useByKey]shelf.UseBy
	cuts    map[cutKey]cutoff
	chills  map[chillKey]*gas.Cold
	matches map[matchKey][]problem.Finding
	policy  fit.Policy
}

// lot is a lot with everything that its cylinders have in common.
type lot struct {
	models.Lot
	supplier    models.Supplier
	parts       []store.BlendComponent // the balance last
	mix         gas.Mix
	certificate *certificate // nil where the document is missing
	mixture     *gas.Mixture
	mixtureErr  error
}

// certificate is a document with its values.
type certificate struct {
	models.Certificate
	values []store.CertifiedValue
}

// cylinder is one cylinder with what the view knows of it.
type cylinder struct {
	models.Cylinder
	item   models.Item
	lot    *lot
	paper  *certificate // its own, or its lot's; nil where the document is missing
	holds  []models.Hold
	place  string
	holder string
}

// look loads what the rules ask about these cylinders.
func look(ctx context.Context, s *store.Store, m moment, rows []models.Cylinder) (*view, []cylinder, error) {
	v := &view{
		moment: m, memo: map[memoKey]contents{}, useBys: map[useByKey]shelf.UseBy{}, cuts: map[cutKey]cutoff{}, chills: map[chillKey]*gas.Cold{},
		matches: map[matchKey][]problem.Finding{}, policy: catalogue.FitPolicy(m.settings),
	}
	ids := idsOf(rows)
	var err error
	if v.items, err = s.ItemsByID(ctx, ids.items); err != nil {
		return nil, nil, err
	}
	if err = v.loadLots(ctx, s, ids.lots); err != nil {
		return nil, nil, err
	}
	if v.own, err = certificates(ctx, s, ids.papers); err != nil {
		return nil, nil, err
	}
	if v.people, err = s.PeopleNames(ctx, ids.holders); err != nil {
		return nil, nil, err
	}
	if v.places, err = s.PlaceCodes(ctx); err != nil {
		return nil, nil, err
	}
	if v.sought, err = s.Sought(ctx); err != nil {
		return nil, nil, err
	}
	if err = v.loadHolds(ctx, s, ids); err != nil {
		return nil, nil, err
	}
	list := make([]cylinder, len(rows))
	for i, row := range rows {
		list[i] = v.cylinder(row)
	}
	return v, list, nil
}

// lookAt is look for one cylinder.
func lookAt(ctx context.Context, s *store.Store, m moment, tag unit.Tag) (*view, cylinder, error) {
	row, err := s.CylinderByTag(ctx, tag)
	if err != nil {
		return nil, cylinder{}, err
	}
	v, list, err := look(ctx, s, m, []models.Cylinder{row})
	if err != nil {
		return nil, cylinder{}, err
	}
	return v, list[0], nil
}

// holdKey is what a hold is on.
type holdKey struct {
	kind string
	id   int64
}

// cylinder puts together what the view knows of one row.
func (v *view) cylinder(row models.Cylinder) cylinder {
	c := cylinder{Cylinder: row, item: v.items[row.ItemID], lot: v.lots[row.LotID]}
	c.paper = c.lot.certificate
	if row.CertificateID != nil {
		c.paper = v.own[*row.CertificateID]
	}
	if len(v.holds) > 0 {
		c.holds = slices.Concat(v.holds[holdKey{"cylinder", row.ID}], v.holds[holdKey{"lot", row.LotID}], v.holds[holdKey{"item", row.ItemID}])
	}
	if row.PlaceID != nil {
		c.place = v.places[*row.PlaceID]
	}
	if row.HolderID != nil {
		c.holder = v.people[*row.HolderID]
	}
	return c
}

// position is where the cylinder is in the ledger's words.
func (c cylinder) position() store.Position {
	switch {
	case c.HolderID != nil:
		return store.Position("person:" + c.holder)
	case c.PlaceID != nil:
		return store.Position(c.place)
	}
	return ""
}

// useByKey is what a use-by depends on; sealed cylinders of a lot share one answer.
type useByKey struct {
	lot    *lot
	paper  *certificate
	item   int64
	opened unit.Date
}

// useBy gives the use-by of a cylinder, a sealed one as if it were opened on a day; "" leaves it sealed.
func (v *view) useBy(c cylinder, ifOpenedOn unit.Date) shelf.UseBy {
	opened := c.OpenedOn
	if opened == "" {
		opened = ifOpenedOn
	}
	key := useByKey{c.lot, c.paper, c.ItemID, opened}
	if known, ok := v.useBys[key]; ok {
		return known
	}
	answer := c.terms().IfOpenedOn(ifOpenedOn).UseBy()
	v.useBys[key] = answer
	return answer
}

// terms gives what the use-by of the cylinder depends on.
func (c cylinder) terms() shelf.Terms {
	var paper *models.Certificate
	if c.paper != nil {
		paper = &c.paper.Certificate
	}
	return catalogue.ShelfTerms(c.lot.Lot, c.item, c.lot.parts, paper, c.OpenedOn)
}

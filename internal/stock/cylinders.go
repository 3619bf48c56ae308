package stock

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// CylindersQuestion narrows the list of cylinders; the last holder has it still or had it last. Stage "" leaves out what is gone, "all" leaves out nothing. After is the
// last tag of the rows before.
type CylindersQuestion struct {
	Item, Place, Stage, Text, Holder, LastHolder, Sort, After string
	Limit                                                     int
}

// CylindersAnswer is a part of the list; Next is where to go on, "" at the end. Sort is the order in which the rows came.
type CylindersAnswer struct {
	Rows []CylinderRow `json:"rows"`
	Next string        `json:"next"`
	Sort string        `json:"sort"`
}

// CylinderRow is one cylinder in the list, its litres those for bump tests.
type CylinderRow struct {
	Tag          unit.Tag `json:"tag"`
	Item         string   `json:"item"`
	ItemName     string   `json:"item_name"`
	Lot          string   `json:"lot"`
	Supplier     string   `json:"supplier"`
	SupplierName string   `json:"supplier_name"`
	Serial       string   `json:"serial"`
	Stage        string   `json:"stage"`
	Place        string   `json:"place"`
	Holder       string   `json:"holder"`
	Since        string   `json:"since"` // since when the holder has it
	UseByDate
	UsableL    *float64 `json:"usable_l"`
	UsableLowL *float64 `json:"usable_low_l"`
	Holds      []string `json:"holds"` // the reasons
}

// The orders of the list: what expires first, or as the cylinders came.
const (
	ByUseBy   = "use_by"
	ByArrival = "arrival"
)

const mostRows = 200

// mostSorted bounds how many cylinders are read to be put in the order of their use-by, which is computed and not kept.
// Where more are asked for they come as they arrived. A variable, so that a test needs fewer.
var mostSorted = 4000

// Cylinders lists cylinders, what expires first on top.
func (r Room) Cylinders(ctx context.Context, q CylindersQuestion) (CylindersAnswer, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return CylindersAnswer{}, err
	}
	filter, err := q.filter(ctx, r.Store)
	if err != nil {
		return CylindersAnswer{}, err
	}
	l := lister{store: r.Store, moment: m, filter: filter, limit: min(cmp.Or(max(q.Limit, 0), usualRows), mostRows)}
	if q.After != "" {
		if l.after, err = r.Store.CylinderByTag(ctx, unit.Tag(q.After)); err != nil {
			return CylindersAnswer{}, err
		}
	}
	if q.Sort != ByArrival {
		answer, fits, err := l.byUseBy(ctx)
		if err != nil || fits {
			return answer, err
		}
	}
	return l.byArrival(ctx)
}

// lister reads one part of the list.
type lister struct {
	moment
	store  *store.Store
	filter store.CylinderFilter
	limit  int
	after  models.Cylinder // the last row of the part before; none has id 0
}

func (l lister) byArrival(ctx context.Context) (CylindersAnswer, error) {
	l.filter.After, l.filter.Limit = l.after.ID, l.limit+1
	rows, err := l.store.Cylinders(ctx, l.filter)
	if err != nil {
		return CylindersAnswer{}, err
	}
	v, all, err := look(ctx, l.store, l.moment, rows)
	if err != nil {
		return CylindersAnswer{}, err
	}
	return v.rows(all, l.limit, ByArrival), nil
}

// byUseBy also tells whether there were few enough to be sorted.
func (l lister) byUseBy(ctx context.Context) (CylindersAnswer, bool, error) {
	rows, err := l.few(ctx)
	if err != nil || rows == nil {
		return CylindersAnswer{}, false, err
	}
	if l.after.ID != 0 { // it may have left the list meanwhile; what follows it is the same
		rows = append(rows, l.after)
	}
	v, all, err := look(ctx, l.store, l.moment, rows)
	if err != nil {
		return CylindersAnswer{}, false, err
	}
	return v.rows(v.firstToExpire(all, l.after.ID), l.limit, ByUseBy), true, nil
}

// few reads all that pass the filter, or nil where they are too many. They are counted first, except in a search, which costs
// the same twice.
func (l lister) few(ctx context.Context) ([]models.Cylinder, error) {
	if l.filter.Text == "" {
		if more, err := l.store.MoreCylinders(ctx, l.filter, mostSorted); err != nil || more {
			return nil, err
		}
	}
	l.filter.Limit = mostSorted + 1
	rows, err := l.store.Cylinders(ctx, l.filter)
	if err != nil || len(rows) > mostSorted {
		return nil, err
	}
	return append([]models.Cylinder{}, rows...), nil
}

// firstToExpire sorts by use-by, and gives what follows a cylinder: all, where its id is 0. What has no date comes late, and
// what nobody will use any more last.
func (v *view) firstToExpire(all []cylinder, after int64) []cylinder {
	type dated struct {
		cylinder
		on unit.Date
	}
	sorted := make([]dated, len(all))
	for i, c := range all {
		sorted[i] = dated{c, cmp.Or(v.useBy(c, "").ExpiresOn, "9998")}
		if c.Stage == Spent || c.Stage == Gone {
			sorted[i].on = "9999"
		}
	}
	slices.SortFunc(sorted, func(a, b dated) int { return cmp.Or(cmp.Compare(a.on, b.on), cmp.Compare(a.ID, b.ID)) })
	following := sorted
	for i, d := range sorted {
		if d.ID == after {
			following = sorted[i+1:]
		}
	}
	rest := make([]cylinder, len(following))
	for i, d := range following {
		rest[i] = d.cylinder
	}
	return slices.DeleteFunc(rest, func(c cylinder) bool { return c.ID == after })
}

func (v *view) rows(all []cylinder, limit int, sort string) CylindersAnswer {
	answer := CylindersAnswer{Rows: []CylinderRow{}, Sort: sort}
	if len(all) > limit {
		all = all[:limit]
		answer.Next = string(all[limit-1].Tag)
	}
	for _, c := range all {
		answer.Rows = append(answer.Rows, v.row(c))
	}
	return answer
}

func (v *view) row(c cylinder) CylinderRow {
	row := CylinderRow{
		Tag: c.Tag, Item: c.item.Code, ItemName: c.item.Name, Lot: c.lot.Lot.Lot, Supplier: c.lot.supplier.Code, SupplierName: c.lot.supplier.Name,
		Serial: c.Serial, Stage: c.Stage, Place: c.place, Holder: c.holder, Since: c.HeldSince.String(),
		UseByDate: useByDate(v.useBy(c, ""), v.today), Holds: []string{},
	}
	if now := v.contents(c, Bump, 0); now.err == nil {
		row.UsableL, row.UsableLowL = &now.Litres, &now.Low
	}
	for _, h := range c.holds {
		row.Holds = append(row.Holds, h.Reason)
	}
	return row
}

// filter turns the names of a question into ids. A name that is not known is a wrong field that lists the known ones.
func (q CylindersQuestion) filter(ctx context.Context, s *store.Store) (store.CylinderFilter, error) {
	f := store.CylinderFilter{Text: q.Text}
	var wrong problem.Fields
	f.Stages = q.stages(&wrong)
	if q.Sort != "" && q.Sort != ByUseBy && q.Sort != ByArrival {
		wrong.Add("sort", fmt.Sprintf("the list has no order %q", clip(q.Sort)), "choose one of "+list([]string{ByUseBy, ByArrival}))
	}
	item, err := chosen(ctx, s, &wrong, "item", q.Item)
	if err != nil {
		return f, err
	}
	if item != 0 {
		f.ItemIDs = []int64{item}
	}
	if f.PlaceID, err = chosen(ctx, s, &wrong, "place", q.Place); err != nil {
		return f, err
	}
	if f.HolderID, err = personNamed(ctx, s, &wrong, "holder", q.Holder); err != nil {
		return f, err
	}
	if f.LastHolderID, err = personNamed(ctx, s, &wrong, "last_holder", q.LastHolder); err != nil {
		return f, err
	}
	return f, wrong.Err()
}

// personNamed gives the id of a person by the name; 0 where none is given.
func personNamed(ctx context.Context, s *store.Store, wrong *problem.Fields, field, name string) (int64, error) {
	if name == "" {
		return 0, nil
	}
	person, err := s.PersonByName(ctx, name)
	if problem.KindOf(err) == problem.Missing {
		wrong.Add(field, fmt.Sprintf("nobody is called %q", clip(name)), "write the name as the person signs in")
		return 0, nil
	}
	return person.ID, err
}

var stages = []string{Received, Sealed, Opened, Spent, Gone}

func (q CylindersQuestion) stages(wrong *problem.Fields) []string {
	switch {
	case q.Stage == "":
		return stages[:len(stages)-1]
	case q.Stage == "all":
		return nil
	case !slices.Contains(stages, q.Stage):
		wrong.Add("stage", fmt.Sprintf("there is no stage %q", clip(q.Stage)), "choose one of "+list(append(slices.Clone(stages), "all")))
	}
	return []string{q.Stage}
}

// chosen gives the id of a catalogue thing by its code; 0 where none is given.
func chosen(ctx context.Context, s *store.Store, wrong *problem.Fields, noun, code string) (int64, error) {
	if code == "" {
		return 0, nil
	}
	known, err := s.CatalogueNames(ctx, noun)
	if err != nil {
		return 0, err
	}
	codes := make([]string, len(known))
	for i, k := range known {
		if k.Code == code {
			return k.ID, nil
		}
		codes[i] = k.Code
	}
	wrong.Add(noun, fmt.Sprintf("there is no %s %q", noun, clip(code)), "choose one of "+list(codes))
	return 0, nil
}

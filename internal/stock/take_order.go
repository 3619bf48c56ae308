package stock

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// TakeOrder says what gas is wanted for. The tests are named by procedure and count, or follow from instruments and a
// purpose, or from a round; a purpose alone is for a use that nobody counts. Dates are today where they are left out.
type TakeOrder struct {
	Item        string      `json:"item,omitempty"`
	Blend       string      `json:"blend,omitempty"`
	Tests       []TestOrder `json:"tests,omitempty"`
	Instruments []string    `json:"instruments,omitempty"`
	Round       string      `json:"round,omitempty"`
	Purpose     Purpose     `json:"purpose,omitempty"`
	Proves      string      `json:"proves,omitempty"` // all, the default, or low: the alarms that a bump is to prove
	From        unit.Date   `json:"from,omitempty"`
	Until       unit.Date   `json:"until,omitempty"`
	Place       string      `json:"place,omitempty"`
}

// TestOrder is a number of tests by one procedure.
type TestOrder struct {
	Procedure string `json:"procedure"`
	Count     int64  `json:"count"`
}

// The bounds of one order.
const (
	mostTests       = 10_000
	mostTestLines   = 100
	mostInstruments = 1_000
	longestUse      = 400 // days
	latestEntry     = 31  // days that an order may be entered after the fact
)

// wanted is an order that has been read: the need, and the items whose cylinders may serve it.
type wanted struct {
	need
	products []models.Item
	blend    models.Blend
	models   map[string]catalogue.Model // of the instruments
	name     string                     // the item or the blend, as it was asked for
}

// takes tells whether cylinders of an item may serve.
func (w wanted) takes(itemID int64) bool {
	return slices.ContainsFunc(w.products, func(i models.Item) bool { return i.ID == itemID })
}

// needReader reads an order, with everything that is wrong with it; broken is the database not answering.
type needReader struct {
	orderReader
	wanted
	store  *store.Store
	broken error
}

// readNeed reads an order and looks up what it names.
func readNeed(ctx context.Context, s *store.Store, m moment, by auth.Person, o TakeOrder) (wanted, error) {
	r := newNeedReader(s, m, by)
	r.read(ctx, o)
	return r.wanted, r.err()
}

func newNeedReader(s *store.Store, m moment, by auth.Person) *needReader {
	r := &needReader{orderReader: orderReader{moment: m}, store: s}
	r.asker, r.retryPct = by.ID, m.settings.RetryPct
	r.air = m.settings.AtmosphereBar / unit.StandardAtmosphere
	r.mayExpire = m.settings.BumpOverrideExpired && auth.Can(by.Role, auth.Override)
	return r
}

func (r *needReader) read(ctx context.Context, o TakeOrder) {
	if o.Purpose != "" && !slices.Contains(catalogue.Purposes(), string(o.Purpose)) {
		r.wrong.Add("purpose", fmt.Sprintf("%q is no purpose", clip(string(o.Purpose))), "choose one of "+list(catalogue.Purposes()))
		o.Purpose = Bump // anything, so that what follows from it is not told as well
	}
	r.period(o)
	r.proves(o.Proves)
	round := r.round(ctx, &o)
	r.product(ctx, o, round)
	if place := found(ctx, r, "place", "place", o.Place, r.store.PlaceByCode); place != nil {
		r.place, r.vehicle = place.Code, place.Kind == "van"
	}
	r.use(ctx, o, round)
}

// What a bump is to prove.
const (
	ProvesAll = "all" // every alarm with a figure
	ProvesLow = "low" // the low alarms alone
)

func (r *needReader) proves(which string) {
	switch which = strings.TrimSpace(which); which {
	case "", ProvesAll:
	case ProvesLow:
		r.lowOnly = true
	default:
		r.wrong.Add("proves", fmt.Sprintf("%q is not what a bump proves", clip(which)), `choose "all" for every alarm, or "low" for the low alarms alone`)
	}
}

func (r *needReader) err() error {
	if r.broken != nil {
		return r.broken
	}
	return r.wrong.Err()
}

// period reads the days of use. An order may be entered some days late, but gas is always judged as of today.
func (r *needReader) period(o TakeOrder) {
	wrong := len(r.wrong)
	from, until := r.date("from", o.From), r.date("until", o.Until)
	if len(r.wrong) > wrong {
		return
	}
	if from == "" {
		from = r.today
	}
	if until == "" {
		until = max(from, r.today)
	}
	switch {
	case until < from:
		r.wrong.Add("until", fmt.Sprintf("%s is before %s, the first day", until.Words(), from.Words()), "give the last day of use")
	case until.DaysUntil(r.today) > latestEntry:
		r.wrong.Add("until", fmt.Sprintf("%s is long past; today is %s", until.Words(), r.today.Words()), "check the day, the month and the year")
	case from.DaysUntil(until) > longestUse || r.today.DaysUntil(until) > longestUse:
		r.wrong.Add("until", fmt.Sprintf("%s is more than %d days away", until.Words(), longestUse), "check the year, or plan the use in parts")
	}
	r.from, r.until = from, max(until, r.today)
}

// product finds the items whose cylinders may serve: the one that is named, or all of a blend.
func (r *needReader) product(ctx context.Context, o TakeOrder, round *roundUse) {
	item := found(ctx, r, "item", "item", o.Item, r.store.ItemByCode)
	blend := found(ctx, r, "blend", "blend", o.Blend, r.store.BlendByCode)
	switch {
	case item != nil:
		r.ofItem(ctx, *item, blend)
	case blend != nil:
		r.ofBlend(ctx, *blend)
	case strings.TrimSpace(o.Item+o.Blend) != "": // told already
	case round != nil:
		r.ofRound(ctx, round)
	default:
		r.wrong.Add("item", "it is not said which gas is wanted", "choose an item, or a blend where any size will do")
	}
}

func (r *needReader) ofItem(ctx context.Context, item models.Item, blend *models.Blend) {
	switch {
	case item.BlendID == nil:
		r.wrong.Add("item", item.Code+" is not gas", "hand it out instead; gas is taken by the cylinder")
	case blend != nil && blend.ID != *item.BlendID:
		r.wrong.Add("blend", fmt.Sprintf("item %s is not filled with %s", item.Code, blend.Code), "leave one of the two out")
	default:
		r.products, r.name = []models.Item{item}, item.Code
		r.fail(func() (err error) { r.blend, err = r.store.BlendByID(ctx, *item.BlendID); return err })
	}
}

func (r *needReader) ofBlend(ctx context.Context, blend models.Blend) {
	r.blend, r.name = blend, blend.Code
	r.fail(func() (err error) { r.products, err = r.store.ItemsOfBlend(ctx, blend.ID); return err })
	if len(r.products) == 0 && r.broken == nil {
		r.wrong.Add("blend", "no item is filled with "+blend.Code, "make the item in the catalogue first")
	}
}

func (r *needReader) fail(fn func() error) {
	if r.broken == nil {
		r.broken = fn()
	}
}

// found gives the thing behind a code, or nil for none. That there is no such thing is a wrong field.
func found[R any](ctx context.Context, r *needReader, field, noun, code string, by func(context.Context, string) (R, error)) *R {
	if code = strings.TrimSpace(code); code == "" || r.broken != nil {
		return nil
	}
	row, err := by(ctx, code)
	switch {
	case err == nil:
		return &row
	case problem.KindOf(err) == problem.Missing:
		r.unknown(ctx, field, noun, code)
	default:
		r.broken = err
	}
	return nil
}

func (r *needReader) unknown(ctx context.Context, field, noun, code string) {
	like, err := r.store.CatalogueLike(ctx, noun, code)
	if err != nil {
		r.broken = err
		return
	}
	advice := "check the spelling, or make it in the catalogue first"
	if like != "" && like != code {
		advice = fmt.Sprintf("did you mean %q?", like)
	}
	r.wrong.Add(field, fmt.Sprintf("there is no %s %q", noun, clip(code)), advice)
}

package stock

import (
	"context"
	"fmt"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// ReturnOrder brings a cylinder back. Without a pressure no gauge could be put on; a temperature may be a class: cold, room or
// hot. The place is where it was taken from unless another is given.
type ReturnOrder struct {
	Checkout    int64             `json:"-"`
	Pressure    unit.Typed        `json:"pressure,omitempty"`
	Temperature unit.Typed        `json:"temperature,omitempty"`
	Gauge       string            `json:"gauge,omitempty"`
	Place       string            `json:"place,omitempty"`
	Tests       []TestLogOrder    `json:"tests,omitempty"`
	Opened      bool              `json:"opened,omitempty"`      // the seal is broken, though nothing was used
	SetLeftOn   bool              `json:"set_left_on,omitempty"` // the regulator set stays on the cylinder
	Spent       bool              `json:"spent,omitempty"`
	Reasons     map[string]string `json:"reasons,omitempty"`
}

// ReturnAnswer is what the return says of the outing.
type ReturnAnswer struct {
	Checkout   int64             `json:"checkout"`
	Tag        unit.Tag          `json:"tag"`
	Place      string            `json:"place"`
	Stage      string            `json:"stage"`
	OpenedOn   unit.Date         `json:"opened_on"`
	MeasuredL  *float64          `json:"measured_l"` // null where no gauge was possible, or pressure does not tell
	ExpectedL  float64           `json:"expected_l"` // tests logged, and one purge
	ThresholdL float64           `json:"threshold_l"`
	Verdict    string            `json:"verdict"`
	Cause      string            `json:"cause"` // of gas that left without being logged
	SetLeftOn  bool              `json:"set_left_on"`
	Hold       *HoldAnswer       `json:"hold"` // that the return led to
	Caution    string            `json:"caution"`
	Findings   []problem.Finding `json:"findings"`
	LastReading
	Version int64 `json:"version"`
}

// Return brings a cylinder back to a place, and holds what its pressure says against what was logged (R32).
func (r Room) Return(ctx context.Context, act auth.Act, o ReturnOrder) (ReturnAnswer, error) {
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (ReturnAnswer, error) {
		m, err := r.moment(ctx, tx)
		if err != nil {
			return ReturnAnswer{}, err
		}
		out, err := loadOuting(ctx, tx, m, o.Checkout)
		if err == nil {
			err = out.mayReturn(act.By)
		}
		if err != nil {
			return ReturnAnswer{}, err
		}
		b, err := readReturn(ctx, tx, m, act.By, &out, o)
		if err != nil {
			return ReturnAnswer{}, err
		}
		if b.past, err = loadPast(ctx, tx, out.row); err != nil {
			return ReturnAnswer{}, err
		}
		w := out.weigh(b)
		if err := problem.Refuse(w.findings, o.Reasons); err != nil {
			return ReturnAnswer{}, err
		}
		return out.bringBack(ctx, tx, act, b, w, o)
	})
}

// mayReturn refuses what is back already, and whoever neither has the cylinder nor runs the desk.
func (o outing) mayReturn(by auth.Person) error {
	if err := o.closed(); err != nil {
		return err
	}
	if o.row.HolderID == by.ID || runsTheDesk(by) {
		return nil
	}
	return problem.New(problem.Forbidden, fmt.Sprintf("%s is with %s", o.row.Tag, o.row.Holder), "let "+o.row.Holder+" bring it back, or a clerk")
}

// runsTheDesk tells whether a person acts for others: hands out to them, brings back for them, corrects what they read.
func runsTheDesk(by auth.Person) bool { return by.Role == auth.Clerk || by.Role == auth.Supervisor }

// brought is a return that has been read.
type brought struct {
	reading *taken // nil where no gauge was possible
	tests   []models.Test
	doubts  []problem.Finding
	opened  bool
	spent   bool
	leftOn  bool // the set stays on the cylinder
	cause   string
	place   models.Place
	past    past
}

// past is what earlier outings say: of this cylinder, and of this person.
type past struct {
	excess     bool   // the cylinder lost gas before
	remembered string // how the person explained it the last time
}

func loadPast(ctx context.Context, s *store.Store, row store.CheckoutRow) (past, error) {
	var p past
	var err error
	if p.excess, err = s.ExcessBefore(ctx, row.CylinderID); err != nil {
		return p, err
	}
	p.remembered, err = lastCause(ctx, s, row.HolderID)
	return p, err
}

// readReturn reads an order, and tells everything that is wrong with it at once.
func readReturn(ctx context.Context, tx *store.Store, m moment, by auth.Person, out *outing, o ReturnOrder) (brought, error) {
	r := newTestReader(tx, m, by, out)
	b := brought{opened: o.Opened, spent: o.Spent, leftOn: o.SetLeftOn && out.row.Regulator+out.row.Tubing+out.row.Cap != "", cause: causeOf(o.Reasons["R32"])}
	b.reading = r.reading(o)
	b.tests, b.doubts = r.lines(ctx, o.Tests)
	r.reasons(o.Reasons)
	code := strings.TrimSpace(o.Place)
	if code == "" {
		code = out.row.Place
	}
	if code == "" {
		r.wrong.Add("place", "the place is not given", "choose the place where it stands now")
	}
	if place := found(ctx, r.needReader, "place", "place", code, tx.PlaceByCode); place != nil {
		b.place = *place
	}
	return b, r.err()
}

// reading reads the pressure with its gauge and temperature.
func (r *testReader) reading(o ReturnOrder) *taken {
	now := taken{typed: o.Pressure, temperature: r.temperature("temperature", o.Temperature), gauge: r.gauge("gauge", o.Gauge)}
	if o.Pressure == "" {
		return nil
	}
	now.pressure = quantityOf(&r.orderReader, "pressure", o.Pressure, unit.ParsePressure)
	if now.gauge == "" {
		now.gauge = r.settings.DefaultGauge
	}
	return &now
}

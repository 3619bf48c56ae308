package stock

import (
	"context"
	"encoding/json"
	"math"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// outing is a check-out with its cylinder, its regulator and what was logged on it so far.
type outing struct {
	cylinder
	v          *view
	row        store.CheckoutRow
	need       need // the tests planned, and the regulator
	logged     []store.TestRow
	procedures map[int64]models.Procedure // of the tests
}

func loadOuting(ctx context.Context, s *store.Store, m moment, id int64) (outing, error) {
	row, err := s.CheckoutRowByID(ctx, id)
	if err != nil {
		return outing{}, err
	}
	v, c, err := lookAt(ctx, s, m, row.Tag)
	if err != nil {
		return outing{}, err
	}
	return outingOf(ctx, s, v, c, row)
}

// outingOf loads what belongs to a check-out of a cylinder that has been looked at.
func outingOf(ctx context.Context, s *store.Store, v *view, c cylinder, row store.CheckoutRow) (o outing, err error) {
	o = outing{row: row, v: v, cylinder: c, need: need{retryPct: v.settings.RetryPct}}
	if row.Regulator != "" {
		regulator, err := s.RegulatorByCode(ctx, row.Regulator)
		if err != nil {
			return o, err
		}
		o.need.along.regulator = &regulator
	}
	if o.need.tests, err = planned(ctx, s, row.Tests); err != nil {
		return o, err
	}
	if o.need.lowOnly, err = provesLow(row.Explained); err != nil {
		return o, err
	}
	if o.logged, err = s.TestsOf(ctx, row.ID); err != nil {
		return o, err
	}
	ids := make([]int64, len(o.logged))
	for i, t := range o.logged {
		ids[i] = t.ProcedureID
	}
	o.procedures, err = s.ProceduresByID(ctx, ids)
	return o, err
}

// planned reads the tests that a check-out was for.
func planned(ctx context.Context, s *store.Store, doc string) ([]testCount, error) {
	var rows []TestOrder
	if err := json.Unmarshal([]byte(doc), &rows); err != nil {
		return nil, err
	}
	codes := make([]string, len(rows))
	for i, row := range rows {
		codes[i] = row.Procedure
	}
	known, err := s.ProceduresByCode(ctx, codes)
	tests := make([]testCount, len(rows))
	for i, row := range rows {
		tests[i] = testCount{Procedure: known[row.Procedure], Count: row.Count}
	}
	return tests, err
}

// provesLow tells whether the bumps of a check-out are to prove the low alarms alone.
func provesLow(explained string) (bool, error) {
	var e struct {
		Out struct{ Need struct{ Proves string } }
	}
	err := json.Unmarshal([]byte(explained), &e)
	return e.Out.Need.Proves == ProvesLow, err
}

// closed is the conflict of a check-out that has ended already.
func (o outing) closed() error {
	if o.row.ReturnedAt == 0 {
		return nil
	}
	return problem.New(problem.Conflict, string(o.row.Tag)+" came back already, on "+o.v.clock(o.row.ReturnedAt), "look at the cylinder; take it again for more tests")
}

// use is the gas that went through the tests of an outing, and what was purged before the first of them.
type use struct{ tests, purge float64 }

func (u use) litres() float64 { return tidy(u.tests + u.purge) }

// use sums what was logged and some tests more. The purge is one for the outing, as for the procedure that wants most.
func (o outing) use(more []models.Test) use {
	var u use
	for _, t := range o.logged {
		u.count(o, t.Test)
	}
	for _, t := range more {
		u.count(o, t)
	}
	return u
}

func (u *use) count(o outing, t models.Test) {
	u.tests += t.Used.Litres()
	u.purge = math.Max(u.purge, o.need.purgeOf(o.procedures[t.ProcedureID]))
}

// readOutside tells whether somebody read the pressure while the cylinder was out.
func (o outing) readOutside() bool {
	return o.PressureSource == Measured && o.MeasuredAt > o.row.TakenAt
}

// lastRead is the cylinder at its last trusted pressure, as it went out or as somebody read it since, with the gas that was
// logged from then on: what is left now is computed from these two (R14).
func (o outing) lastRead(more []models.Test) (cylinder, use) {
	if !o.readOutside() {
		return o.atOut(), o.use(more)
	}
	var before, since use
	for _, t := range o.logged {
		if t.HappenedAt <= o.MeasuredAt {
			before.count(o, t.Test)
		} else {
			since.count(o, t.Test)
		}
	}
	for _, t := range more {
		since.count(o, t)
	}
	since.purge = math.Max(0, since.purge-before.purge) // of the outing, what went already is in the reading
	return o.cylinder, since
}

// takenOn is the day on which the cylinder went out; its first opening counts from it.
func (o outing) takenOn() unit.Date {
	return unit.DateOf(o.row.TakenAt.Time().In(o.v.settings.Location()))
}

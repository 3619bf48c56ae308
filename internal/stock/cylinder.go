package stock

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// CylinderQuestion asks about one cylinder: for a purpose (a bump test where none is given), counting the tests of one
// procedure or of all that take its blend, on a day or today.
type CylinderQuestion struct {
	Procedure, Purpose, On string
}

// lastLines is how much of its ledger the page of a cylinder shows.
const lastLines = 20

// Cylinder tells everything about one cylinder.
func (r Room) Cylinder(ctx context.Context, tag string, q CylinderQuestion) (CylinderAnswer, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return CylinderAnswer{}, err
	}
	v, c, err := lookUp(ctx, r.Store, m, tag)
	if err != nil {
		return CylinderAnswer{}, err
	}
	blend, err := r.Store.BlendByID(ctx, c.lot.BlendID)
	if err != nil {
		return CylinderAnswer{}, err
	}
	procedures, err := r.Store.ProceduresOfBlend(ctx, c.lot.BlendID)
	if err != nil {
		return CylinderAnswer{}, err
	}
	asked, err := q.read(m, blend, procedures)
	if err != nil {
		return CylinderAnswer{}, err
	}
	entries, err := r.Store.EntriesAbout(ctx, c.subjects(), lastLines)
	if err != nil {
		return CylinderAnswer{}, err
	}
	now, err := presently(ctx, r.Store, v, c)
	if err != nil {
		return CylinderAnswer{}, err
	}
	answer := v.answer(now, asked)
	if answer.LeftOn, err = r.Store.LeftOn(ctx, c.ID); err != nil {
		return CylinderAnswer{}, err
	}
	answer.Blend, answer.Ledger = blend.Code, ledgerLines(entries)
	for _, p := range procedures {
		answer.Procedures = append(answer.Procedures, Procedure{p.Code, p.Name})
	}
	return answer, nil
}

// lookUp is lookAt for a tag as it stands in an address. A text that is no tag is no cylinder.
func lookUp(ctx context.Context, s *store.Store, m moment, text string) (*view, cylinder, error) {
	tag, err := unit.ParseTag(text)
	if err != nil {
		return nil, cylinder{}, noCylinder(err)
	}
	return lookAt(ctx, s, m, tag)
}

func noCylinder(err error) error {
	var p *problem.Error
	if errors.As(err, &p) {
		return problem.New(problem.Missing, p.Detail, p.Advice)
	}
	return err
}

// subjects are what the ledger calls the cylinder and what it is one of: a hold on its lot is part of its history.
func (c cylinder) subjects() []string {
	return []string{store.Subject(c.Tag), lotSubject(c.LotID), "item:" + c.item.Code}
}

// asked is a question that has been read.
type asked struct {
	purpose    Purpose
	procedures []models.Procedure
	on         unit.Date
}

func (q CylinderQuestion) read(m moment, blend models.Blend, procedures []models.Procedure) (asked, error) {
	a := asked{purpose: Bump, procedures: procedures, on: m.today}
	var wrong problem.Fields
	if q.On != "" {
		var err error
		a.on, err = unit.ParseDate(q.On)
		wrong.Take("on", err)
	}
	if q.Purpose != "" {
		if a.purpose = Purpose(q.Purpose); !slices.Contains(catalogue.Purposes(), q.Purpose) {
			wrong.Add("purpose", fmt.Sprintf("%q is no purpose", clip(q.Purpose)), "choose one of "+list(catalogue.Purposes()))
		}
		a.procedures = only(procedures, func(p models.Procedure) bool { return Purpose(p.Purpose) == a.purpose })
	}
	if q.Procedure != "" {
		a.procedures = only(procedures, func(p models.Procedure) bool { return p.Code == q.Procedure })
		if len(a.procedures) == 0 {
			codes := make([]string, len(procedures))
			for i, p := range procedures {
				codes[i] = p.Code
			}
			wrong.Add("procedure", fmt.Sprintf("no procedure %q takes %s", clip(q.Procedure), blend.Code), "choose one of "+list(codes))
			return a, wrong.Err()
		}
		if q.Purpose == "" {
			a.purpose = Purpose(a.procedures[0].Purpose)
		}
	}
	return a, wrong.Err()
}

func only[T any](all []T, keep func(T) bool) []T {
	var some []T
	for _, one := range all {
		if keep(one) {
			some = append(some, one)
		}
	}
	return some
}

// list names what may be chosen.
func list(names []string) string {
	if len(names) == 0 {
		return "what is there: there is none yet"
	}
	return strings.Join(names, ", ")
}

func (v *view) answer(now present, a asked) CylinderAnswer {
	c := now.cylinder
	answer := CylinderAnswer{
		Tag: c.Tag, On: a.on, Purpose: a.purpose, Item: c.item.Code, ItemName: c.item.Name, Components: c.amounts(), Outlet: c.item.Outlet,
		WaterVolumeL: c.item.WaterVolume.Litres(), FillPressureBar: c.item.FillPressure.Bar(),
		Supplier: c.lot.supplier.Code, SupplierName: c.lot.supplier.Name, Lot: c.lot.Lot.Lot, LotID: c.LotID, Serial: c.Serial, Stage: c.Stage,
		Holds: holdAnswers(c.holds), Custody: c.custody(), Place: c.place, LastReading: now.lastReading(),
		UsableAnswer: v.usableWith(c, now.left(v, a.purpose)),
		OpenedOn:     c.OpenedOn, UseByDate: useByDate(v.useBy(c, ""), a.on), TestsLeft: []TestsLeft{}, Procedures: []Procedure{},
		Readiness: v.readiness(c, a.on), Version: c.Version,
	}
	for _, p := range a.procedures {
		if left, known := now.testsLeft(v, p); known {
			answer.TestsLeft = append(answer.TestsLeft, left)
		}
	}
	return answer
}

package stock

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/models"
)

// take decides again and writes: one holder, one open check-out, one ledger entry for each end of the way.
func (t taking) take(ctx context.Context, tx *store.Store, act auth.Act, o CheckOutOrder, around outlook) (CheckOutAnswer, error) {
	if t.HolderID != nil {
		return CheckOutAnswer{}, t.taken(ctx, tx)
	}
	if o.Version != nil && *o.Version != t.cylinder.Version {
		return CheckOutAnswer{}, problem.Stale("cylinder", string(t.Tag), t.cylinder.Version, *o.Version)
	}
	d := t.v.decide(t.cylinder, t.need)
	d.findings = slices.Concat(d.findings, t.otherProduct(), t.later(d, around.best), around.last)
	problem.Sort(d.findings)
	if err := problem.Refuse(d.findings, o.Reasons); err != nil {
		return CheckOutAnswer{}, err
	}
	row, err := t.write(ctx, tx, act, o, d)
	if err != nil {
		return CheckOutAnswer{}, err
	}
	if err := t.recordSetValues(ctx, tx, act, o); err != nil {
		return CheckOutAnswer{}, err
	}
	if err := t.leaveTasks(ctx, tx, act, o, around); err != nil {
		return CheckOutAnswer{}, err
	}
	return t.answer(row, d), nil
}

// taken is the conflict of somebody who comes second (R30): who has it, since when, where it was, and the ways on.
func (t taking) taken(ctx context.Context, tx *store.Store) error {
	if t.CheckoutID == nil {
		return problem.New(problem.Conflict, fmt.Sprintf("%s is with %s", t.Tag, t.cylinder.holder), "ask them, or take another one")
	}
	row, err := tx.CheckoutRowByID(ctx, *t.CheckoutID)
	if err != nil {
		return err
	}
	since := t.v.clock(t.HeldSince)
	text, advice := fmt.Sprintf("%s is with %s since %s", t.Tag, t.cylinder.holder, since), fmt.Sprintf("log tests on their check-out %d, ask %s to hand it over, or take another one", row.ID, t.cylinder.holder)
	if t.with(t.asker) {
		text, advice = fmt.Sprintf("you have %s since %s", t.Tag, since), t.yours()
	}
	if row.Place != "" {
		text += ", from " + row.Place
	}
	conflict := problem.New(problem.Conflict, text, advice)
	conflict.Findings = t.v.custody(t.cylinder, t.need)
	return conflict
}

// otherProduct stops a cylinder that is not what was asked for (R15).
func (t taking) otherProduct() []problem.Finding {
	if t.takes(t.ItemID) {
		return nil
	}
	return one("R15", problem.Stop, t.cylinder, fmt.Sprintf("it is %s, and %s is wanted", t.item.Code, t.name), "take one of "+t.name+", or say that "+t.item.Code+" is wanted")
}

// later asks why gas that expires later is taken while the recommended one stays (R16b).
func (t taking) later(d verdict, best *candidate) []problem.Finding {
	if best == nil || best.ID == t.cylinder.ID || best.useBy.ExpiresOn == "" || best.useBy.ExpiresOn >= d.useBy.ExpiresOn {
		return nil
	}
	text := fmt.Sprintf("%s at %s expires sooner, on %s; this one on %s", best.Tag, best.place, best.useBy.ExpiresOn.Words(), d.useBy.ExpiresOn.Words())
	return one("R16", problem.Ask, t.cylinder, text, fmt.Sprintf("take %s, or say why not, such as %q", best.Tag, notFound))
}

// notFound is the reason that makes the clerk look for a cylinder.
const notFound = "not found"

func (t taking) write(ctx context.Context, tx *store.Store, act auth.Act, o CheckOutOrder, d verdict) (models.Checkout, error) {
	tests, err := json.Marshal(t.needAnswer().Tests)
	if err != nil {
		return models.Checkout{}, err
	}
	explained, err := json.Marshal(Explained{Out: t.explain(d, o.Reasons)})
	if err != nil {
		return models.Checkout{}, err
	}
	serials, err := json.Marshal(append([]string{}, t.serials...))
	if err != nil {
		return models.Checkout{}, err
	}
	regulator, tubing, cap := t.along.codes()
	row := models.Checkout{
		CylinderID: t.cylinder.ID, HolderID: t.holder.ID, PlaceID: t.PlaceID, Purpose: string(t.purpose), Tests: string(tests),
		FromOn: t.from, UntilOn: t.until, Regulator: regulator, Tubing: tubing, Cap: cap, Instruments: string(serials), Need: litresOf(t.litres()), TakenAt: t.v.at,
		OutPressure: t.Pressure, OutTemperature: t.Temperature, OutGauge: t.Gauge, OutSource: t.PressureSource,
		Explained: string(explained), SettingsVersion: t.v.settings.Version,
	}
	if err := tx.AddCheckout(ctx, &row); err != nil {
		return row, err
	}
	after := t.cylinder.Cylinder
	after.PlaceID, after.HolderID, after.HeldSince, after.CheckoutID = nil, &t.holder.ID, t.v.at, &row.ID
	_, err = tx.PutCylinder(ctx, store.Change{
		Before: t.cylinder.Cylinder, After: after, From: t.position(), To: store.Position("person:" + t.holder.Name),
	}, t.v.entry(act, "check_out", inOneLine(o.Reasons)))
	return row, err
}

// leaveTasks tells the clerk what was not found, and the purchaser that the last one went. Whoever takes what the clerk looks
// for has found it; that is asked here, because it was read ahead and the job may be new.
func (t taking) leaveTasks(ctx context.Context, tx *store.Store, act auth.Act, o CheckOutOrder, around outlook) error {
	if err := tx.CloseTasksAbout(ctx, store.FindTask, store.Subject(t.Tag), t.v.at, act.By.Name); err != nil {
		return err
	}
	if best := around.best; best != nil && strings.Contains(strings.ToLower(o.Reasons["R16"]), notFound) && len(t.later(verdict{useBy: t.v.useBy(t.cylinder, t.from)}, best)) > 0 {
		text := fmt.Sprintf("find %s: %s did not find it at %s and took %s", best.Tag, t.holder.Name, best.place, t.Tag)
		if err := t.v.task(ctx, tx, auth.Clerk, store.FindTask, store.Subject(best.Tag), text); err != nil {
			return err
		}
	}
	for _, f := range around.last {
		if err := t.v.task(ctx, tx, auth.Purchaser, "last_sealed", "item:"+t.item.Code, fmt.Sprintf("%s: %s", t.Tag, f.Text)); err != nil {
			return err
		}
	}
	return nil
}

// task leaves a job for a role: once about one thing, as long as it is open.
func (m moment) task(ctx context.Context, tx *store.Store, role auth.Role, kind, subject, text string) error {
	return tx.AddTaskOnce(ctx, models.Task{Role: string(role), Kind: kind, Subject: subject, Text: text, OpenedAt: m.at})
}

func (t taking) answer(row models.Checkout, d verdict) CheckOutAnswer {
	a := CheckOutAnswer{
		ID: row.ID, Tag: t.Tag, Item: t.item.Code, Holder: t.holder.Name, Place: t.cylinder.place, TakenAt: t.v.at.String(), NeedL: t.litres(),
		Margin: MarginAnswer{d.margin.Expected, d.margin.Low}, UseByDate: useByDate(d.useBy, t.v.today), LabelValues: t.labelValues(),
		TestsLeft: t.v.leftOf(t.cylinder, t.need), Regulator: row.Regulator, Tubing: row.Tubing, Cap: row.Cap, Compared: t.on.words(), Findings: append([]problem.Finding{}, d.findings...),
		Version: t.cylinder.Version + 1,
	}
	return a
}

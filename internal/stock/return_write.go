package stock

import (
	"context"
	"encoding/json"
	"fmt"
	"math"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// ExplainedReturn is what the verdict of a return rested on.
type ExplainedReturn struct {
	Findings        []problem.Finding `json:"findings"`
	Reasons         map[string]string `json:"reasons"`
	Reading         LastReading       `json:"reading"`
	MeasuredL       *float64          `json:"measured_l"`
	UncertaintyL    float64           `json:"uncertainty_l"` // k = 2
	TestsL          float64           `json:"tests_l"`
	PurgeL          float64           `json:"purge_l"`
	ThresholdL      float64           `json:"threshold_l"`
	Verdict         string            `json:"verdict"`
	Cause           string            `json:"cause"`
	By              string            `json:"by"`
	SettingsVersion int64             `json:"settings_version"`
}

// bringBack writes a return: the tests, the gas that left by what it went for, the cylinder at its place, and what the
// return leads to.
func (o outing) bringBack(ctx context.Context, tx *store.Store, act auth.Act, b brought, w weighed, order ReturnOrder) (ReturnAnswer, error) {
	if err := tx.AddTests(ctx, b.tests); err != nil {
		return ReturnAnswer{}, err
	}
	after := o.after(b, w)
	e := o.v.entry(act, "return", inOneLine(order.Reasons))
	change := store.Change{Before: o.cylinder.Cylinder, After: after, From: o.position(), To: store.Position(b.place.Code)}
	var err error
	if o.cylinder.Cylinder, err = tx.PutCylinder(ctx, change, e, o.useEntries(act, b, w)...); err != nil {
		return ReturnAnswer{}, err
	}
	if err := o.close(ctx, tx, act, b, w, order.Reasons); err != nil {
		return ReturnAnswer{}, err
	}
	answer := o.returned(b, w)
	if w.suspect {
		text := fmt.Sprintf("%.1f L more than logged were used, cause: %s", w.measured-w.use.litres(), b.cause)
		hold, err := o.v.placeOnce(ctx, tx, act, o.cylinder, LeakSuspected, text)
		if err != nil {
			return answer, err
		}
		answer.Hold, answer.Caution = hold, leakCaution
	}
	if b.reading == nil && w.used && !b.spent {
		text := fmt.Sprintf("read the gauge of %s at %s: its pressure is a calculation", o.Tag, b.place.Code)
		return answer, o.v.task(ctx, tx, auth.Clerk, "read_gauge", store.Subject(o.Tag), text)
	}
	return answer, nil
}

// after is the row of the cylinder back at its place.
func (o outing) after(b brought, w weighed) models.Cylinder {
	row := o.cylinder.Cylinder
	switch {
	case b.reading != nil:
		row = o.v.after(o.cylinder, *b.reading)
	case row.PressureSource != Unknown:
		row = o.computed(b.tests)
	}
	row.PlaceID, row.HolderID, row.HeldSince, row.CheckoutID = &b.place.ID, nil, 0, nil
	if w.used && (row.Stage == Sealed || row.Stage == Received) {
		row.Stage, row.OpenedOn = Opened, o.takenOn()
	}
	if b.spent || o.emptied(b) {
		row.Stage = Spent
	}
	return row
}

// emptied tells whether the reading leaves nothing to use, even for bump tests.
func (o outing) emptied(b brought) bool {
	return b.reading != nil && b.reading.pressure.Bar() <= o.v.cutoff(o.cylinder, Bump, 0).bar
}

// computed is the row with the pressure that the tests since the last trusted one leave.
func (o outing) computed(more []models.Test) models.Cylinder {
	row := o.cylinder.Cylinder
	if from, since := o.lastRead(more); since.litres() > 0 {
		row.Pressure, row.PressureSource = o.v.pressureAfter(from, since.litres()), Computed
	}
	return row
}

// pressureAfter gives the pressure at which so many litres fewer are in a cylinder, at the temperature of its last reading.
func (v *view) pressureAfter(c cylinder, litres float64) unit.Pressure {
	content := v.content(c, c.Pressure, c.Temperature)
	full, err := content.FreeLitres()
	if err != nil {
		return c.Pressure
	}
	low, high := 0.0, content.GaugeBar
	for range 50 { // halving: far below a pascal
		content.GaugeBar = (low + high) / 2
		if left, err := content.FreeLitres(); err == nil && left > full-litres {
			high = content.GaugeBar
		} else {
			low = content.GaugeBar
		}
	}
	return unit.PressureBar(low)
}

// useEntries say where the gas went: tests, purge, and what left otherwise with its reason (R44).
func (o outing) useEntries(act auth.Act, b brought, w weighed) []models.Entry {
	if w.verdict == Unchanged {
		return nil
	}
	tests, purge, waste := w.use.tests, w.use.purge, 0.0
	switch {
	case math.IsNaN(w.measured):
	case w.verdict == Excess:
		waste = w.measured - w.use.litres()
	default:
		purge = min(purge, max(0, w.measured))
		tests = max(0, w.measured) - purge
	}
	var entries []models.Entry
	for _, part := range []struct {
		litres float64
		reason string
	}{{tests, ""}, {purge, Purged}, {waste, wasteOf(o.cause(b))}} {
		if quantity := litresOf(part.litres); quantity > 0 {
			e := o.v.entry(act, "use", part.reason)
			e.Quantity, e.Unit, e.Place = -int64(quantity), "mL", o.row.Place
			entries = append(entries, e)
		}
	}
	return entries
}

// cause is why gas left without being logged: as it was said now, or as the person said the last time.
func (o outing) cause(b brought) string {
	if b.cause == "" {
		return b.past.remembered
	}
	return b.cause
}

func (o outing) close(ctx context.Context, tx *store.Store, act auth.Act, b brought, w weighed, reasons map[string]string) error {
	var e Explained
	if err := json.Unmarshal([]byte(o.row.Explained), &e); err != nil {
		return err
	}
	e.Return = &ExplainedReturn{
		Findings: append([]problem.Finding{}, w.findings...), Reasons: given(reasons), Reading: o.lastReading(), MeasuredL: w.litres(), UncertaintyL: w.uncertainty,
		TestsL: w.use.tests, PurgeL: w.use.purge, ThresholdL: w.threshold, Verdict: w.verdict, By: act.By.Name, SettingsVersion: o.v.settings.Version,
	}
	if w.verdict == Excess {
		e.Return.Cause = o.cause(b)
	}
	doc, err := json.Marshal(e)
	if err != nil {
		return err
	}
	row := o.row.Checkout
	row.ReturnedAt, row.Verdict, row.Explained = o.v.at, w.verdict, string(doc)
	row.Expected, row.Threshold = litresOf(w.use.litres()), litresOf(w.threshold)
	row.ReturnedTo, row.SetLeftOn = b.place.Code, b.leftOn
	row.InPressure, row.InTemperature = o.Pressure, o.Temperature
	if row.Measured = row.Expected; w.litres() != nil {
		row.Measured = litresOf(*w.litres())
	}
	if b.reading != nil {
		row.InGauge = b.reading.gauge
	}
	return tx.CloseCheckout(ctx, row)
}

// litres is what was measured, or nil. Less than nothing is nothing: pressure does not rise by use.
func (w weighed) litres() *float64 {
	if math.IsNaN(w.measured) {
		return nil
	}
	measured := max(0, w.measured)
	return &measured
}

func (o outing) returned(b brought, w weighed) ReturnAnswer {
	a := ReturnAnswer{
		Checkout: o.row.ID, Tag: o.Tag, Place: b.place.Code, Stage: o.Stage, OpenedOn: o.OpenedOn, MeasuredL: w.litres(),
		ExpectedL: w.use.litres(), ThresholdL: w.threshold, Verdict: w.verdict, Findings: append([]problem.Finding{}, w.findings...),
		SetLeftOn: b.leftOn, LastReading: o.lastReading(), Version: o.cylinder.Version,
	}
	if w.verdict == Excess {
		a.Cause = o.cause(b)
	}
	return a
}

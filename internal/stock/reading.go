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

// ReadingOrder is a pressure as read from a gauge. Temperature may be a class: cold, room or hot.
type ReadingOrder struct {
	Tag         string            `json:"-"`
	Pressure    unit.Typed        `json:"pressure"`
	Temperature unit.Typed        `json:"temperature,omitempty"`
	Gauge       string            `json:"gauge,omitempty"`
	Rolled      bool              `json:"rolled,omitempty"`    // it stood warm and was rolled
	HoldLeak    bool              `json:"hold_leak,omitempty"` // a standing loss puts it on hold instead of asking why
	Version     *int64            `json:"version,omitempty"`
	Reasons     map[string]string `json:"reasons,omitempty"`
}

// ReadingAnswer is what the reading says of the cylinder.
type ReadingAnswer struct {
	Tag unit.Tag `json:"tag"`
	LastReading
	UsableAnswer
	Hold     *HoldAnswer       `json:"hold"` // that the reading led to
	Findings []problem.Finding `json:"findings"`
	Version  int64             `json:"version"`
}

// taken is a reading that has been understood.
type taken struct {
	pressure    unit.Pressure
	typed       unit.Typed
	temperature unit.Temperature // 0 where nobody took it
	gauge       string
	rolled      bool
	corrects    bool // whoever read it may correct what was read before
}

// Reading records the pressure of a cylinder, wherever it is.
func (r Room) Reading(ctx context.Context, act auth.Act, o ReadingOrder) (ReadingAnswer, error) {
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (ReadingAnswer, error) {
		m, err := r.moment(ctx, tx)
		if err != nil {
			return ReadingAnswer{}, err
		}
		v, c, err := lookUp(ctx, tx, m, o.Tag)
		if err != nil {
			return ReadingAnswer{}, err
		}
		now, err := m.readTaken(o)
		if err != nil {
			return ReadingAnswer{}, err
		}
		now.corrects = runsTheDesk(act.By)
		if err := mayRead(c, o.Version); err != nil {
			return ReadingAnswer{}, err
		}
		stood, err := stoodStill(ctx, tx, c)
		if err != nil {
			return ReadingAnswer{}, err
		}
		findings := v.judgeReading(c, now, stood)
		if err := problem.Refuse(findings, answered(o, findings)); err != nil {
			return ReadingAnswer{}, err
		}
		return v.keepReading(ctx, tx, act, c, now, o, findings)
	})
}

// readTaken reads the quantities of an order, and tells everything that is wrong with them at once.
func (m moment) readTaken(o ReadingOrder) (taken, error) {
	r := orderReader{moment: m}
	if o.Pressure == "" {
		r.wrong.Add("pressure", "the pressure is not given", `write it with its unit, such as "62 bar"`)
	}
	now := taken{typed: o.Pressure, rolled: o.Rolled}
	now.pressure = quantityOf(&r, "pressure", o.Pressure, unit.ParsePressure)
	now.temperature = r.temperature("temperature", o.Temperature)
	if now.gauge = r.gauge("gauge", o.Gauge); now.gauge == "" {
		now.gauge = m.settings.DefaultGauge
	}
	r.reasons(o.Reasons)
	return now, r.wrong.Err()
}

// temperature reads a temperature with its unit, or its class: the site says what people mean who name one instead of
// measuring (R13).
func (r *orderReader) temperature(field string, typed unit.Typed) unit.Temperature {
	switch strings.ToLower(strings.TrimSpace(string(typed))) {
	case "cold":
		return unit.TemperatureCelsius(r.settings.ColdC)
	case "room":
		return unit.TemperatureCelsius(r.settings.RoomC)
	case "hot":
		return unit.TemperatureCelsius(r.settings.HotVanC)
	}
	return quantityOf(r, field, typed, unit.ParseTemperature)
}

func mayRead(c cylinder, version *int64) error {
	switch {
	case version != nil && *version != c.Version:
		return problem.Stale("cylinder", string(c.Tag), c.Version, *version)
	case c.Stage == Gone:
		return problem.New(problem.Conflict, string(c.Tag)+" is gone", "look at the tag again")
	}
	return nil
}

// answered adds the answer to a suspected leak that a hold gives.
func answered(o ReadingOrder, findings []problem.Finding) map[string]string {
	reasons := map[string]string{}
	for rule, reason := range o.Reasons {
		reasons[rule] = reason
	}
	if o.HoldLeak && hasRule(findings, leakRule) && reasons[leakRule] == "" {
		reasons[leakRule] = "put on hold"
	}
	return reasons
}

func hasRule(findings []problem.Finding, rule string) bool {
	for _, f := range findings {
		if f.Rule == rule {
			return true
		}
	}
	return false
}

func (v *view) keepReading(ctx context.Context, tx *store.Store, act auth.Act, c cylinder, now taken, o ReadingOrder, findings []problem.Finding) (ReadingAnswer, error) {
	low := v.lowAtFirst(c, now)
	change := store.Change{Before: c.Cylinder, After: v.after(c, now), From: c.position(), To: c.position()}
	row, err := tx.PutCylinder(ctx, change, v.entry(act, "reading", inOneLine(answered(o, findings))))
	if err != nil {
		return ReadingAnswer{}, err
	}
	c.Cylinder = row
	answer := ReadingAnswer{Tag: c.Tag, LastReading: c.lastReading(), UsableAnswer: v.usable(c, Bump), Findings: append([]problem.Finding{}, findings...), Version: row.Version}
	for _, h := range low {
		if answer.Hold, err = v.placeOnce(ctx, tx, act, c, h.reason, h.text); err != nil {
			return answer, err
		}
		text := fmt.Sprintf("%s of lot %s is low on arrival: claim from %s", c.Tag, c.lot.Lot.Lot, c.lot.supplier.Name)
		if err := v.task(ctx, tx, auth.Purchaser, "claim", store.Subject(c.Tag), text); err != nil {
			return answer, err
		}
	}
	if o.HoldLeak && hasRule(findings, leakRule) {
		answer.Hold, err = v.placeOnce(ctx, tx, act, c, LeakSuspected, textOf(findings, leakRule))
	}
	return answer, err
}

func textOf(findings []problem.Finding, rule string) string {
	for _, f := range findings {
		if f.Rule == rule {
			return f.Text
		}
	}
	return ""
}

// placeOnce puts the cylinder on hold for a reason, unless it is already.
func (v *view) placeOnce(ctx context.Context, tx *store.Store, act auth.Act, c cylinder, reason, text string) (*HoldAnswer, error) {
	h, known, err := tx.HoldStanding(ctx, onCylinder, c.ID, reason)
	if err == nil && !known {
		h, err = v.putHold(ctx, tx, act, models.Hold{OnKind: onCylinder, OnID: c.ID, OnName: string(c.Tag), Reason: reason, Text: text}, store.Subject(c.Tag))
	}
	answer := holdAnswer(h)
	return &answer, err
}

// after is the row of the cylinder with a reading in it.
func (v *view) after(c cylinder, now taken) models.Cylinder {
	row := c.Cylinder
	row.Pressure, row.Temperature, row.Gauge, row.PressureSource, row.MeasuredAt = now.pressure, now.temperature, now.gauge, Measured, v.at
	switch {
	case v.recovered(c, now):
		row.Coldest = now.temperature
	case now.temperature != 0 && (row.Coldest == 0 || now.temperature < row.Coldest):
		row.Coldest = now.temperature
	}
	return row
}

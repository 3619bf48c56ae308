package stock

import (
	"strings"
	"testing"
	"time"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

// opened is one Q4 in use, read at some pressure at 21 °C with the digital gauge, two days ago.
func (h *harrowmere) opened(bar float64) string {
	h.t.Helper()
	tag := h.receive(q4("7K-2206", 1))[0]
	h.alter(tag, func(c *models.Cylinder) {
		c.Stage, c.OpenedOn, c.Pressure, c.PressureSource, c.Gauge = Opened, "2027-02-01", unit.PressureBar(bar), Measured, "digital"
		c.Temperature, c.MeasuredAt = unit.TemperatureCelsius(21), unit.InstantOf(h.now.Add(-48*time.Hour))
	})
	return tag
}

func TestReadingIsKeptWithItsUncertainty(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		tag := h.opened(40)
		r, err := h.Reading(t.Context(), h.act("A"), ReadingOrder{Tag: tag, Pressure: "580 psi", Temperature: "21 C", Gauge: "digital"})
		if err != nil || *r.PressureBar < 39.98 || *r.PressureBar > 40 || r.PressureSource != Measured || *r.UsableLowL >= *r.UsableL {
			t.Fatalf("%+v %v", r, err)
		}
		a := h.one(tag)
		if a.MeasuredAt != "2027-03-03T07:00:00.000Z" || a.Gauge != "digital" || *a.TemperatureC != 21 || a.Version != r.Version {
			t.Errorf("%+v", a.LastReading)
		}
		if l := a.Ledger[0]; l.Text != "pressure read" || l.Who != "A" || l.Before != "" { // 40.0 and 39.99 are both 40.0 bar
			t.Errorf("%+v", l)
		}
		h.verify()
	})
}

func TestWhoeverHasItReadsIt(t *testing.T) {
	h := settle(t, storetest.New(t))
	tag := h.opened(40)
	h.give(tag, "A")
	r, err := h.Reading(t.Context(), h.act("A"), ReadingOrder{Tag: tag, Pressure: "21 bar", Gauge: "digital"})
	if err != nil || len(r.Findings) != 0 {
		t.Fatalf("gas that is in use may be used: %+v %v", r.Findings, err)
	}
	if a := h.one(tag); a.Custody.Name != "A" || *a.PressureBar != 21 {
		t.Errorf("%+v %+v", a.Custody, a.LastReading)
	}
	h.verify()
}

func TestTheSiteSaysWhatColdIs(t *testing.T) {
	h := settle(t, storetest.New(t))
	h.settings(func(s *catalogue.Settings) { s.ColdC, s.RoomC, s.HotVanC = -5, 19, 40 })
	for class, want := range map[unit.Typed]float64{"cold": -5, "Room": 19, " hot ": 40, "7 C": 7} {
		tag := h.opened(40)
		r, err := h.Reading(t.Context(), h.act("A"), ReadingOrder{Tag: tag, Pressure: "39 bar", Temperature: class, Gauge: "digital", Reasons: map[string]string{"R32": "known", "R34": "known"}})
		if err != nil || *r.TemperatureC < want-0.01 || *r.TemperatureC > want+0.01 {
			t.Errorf("%q is %v °C: %v", class, r.TemperatureC, err)
		}
	}
}

func TestReadingRefuses(t *testing.T) {
	h := settle(t, storetest.New(t))
	tag := h.opened(40)
	old := int64(1)
	for _, c := range []struct {
		name  string
		order ReadingOrder
		kind  problem.Kind
		part  string
	}{
		{"no unit", ReadingOrder{Pressure: "62"}, problem.Invalid, "pressure: |has no unit"},
		{"no pressure", ReadingOrder{}, problem.Invalid, "pressure: the pressure is not given"},
		{"an unknown gauge", ReadingOrder{Pressure: "38 bar", Gauge: "thumb"}, problem.Invalid, `gauge: there is no gauge "thumb"`},
		{"an unknown temperature", ReadingOrder{Pressure: "38 bar", Temperature: "mild"}, problem.Invalid, "temperature: "},
		{"more than it can hold", ReadingOrder{Pressure: "1000 bar"}, problem.Refused, "R5f|75.9 bar"},
		{"a stale page", ReadingOrder{Pressure: "38 bar", Version: &old}, problem.Conflict, "is at version 2 now"},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.order.Tag = tag
			_, err := h.Reading(t.Context(), h.act("A"), c.order)
			h.wants(err, c.kind, c.part)
		})
	}
	_, err := h.Reading(t.Context(), h.act("A"), ReadingOrder{Tag: tag, Pressure: "1000 bar"})
	if p := err.(*problem.Error); !strings.Contains(p.Findings[0].Advice, "was it 1000 psi?") {
		t.Errorf("the likely unit is not offered: %+v", p.Findings[0])
	}
	h.alter(tag, func(c *models.Cylinder) { c.Stage, c.PlaceID = Gone, nil })
	_, err = h.Reading(t.Context(), h.act("A"), ReadingOrder{Tag: tag, Pressure: "38 bar"})
	h.wants(err, problem.Conflict, "is gone")
}

func TestMeantPressure(t *testing.T) {
	for typed, want := range map[unit.Typed]string{
		"1000 bar": "1000 psi", "69 MPa": "69 bar", "580 bar": "580 psi", "99999999 bar": "", "bar": "",
	} {
		if got := MeantPressure(typed, 69); got != want {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
}

func TestTheSameGaugeTwiceAsTheSiteSees(t *testing.T) {
	v := &view{moment: moment{settings: catalogue.DefaultSettings()}}
	was := cylinder{Cylinder: models.Cylinder{Pressure: unit.PressureBar(40), Temperature: unit.TemperatureCelsius(21), Gauge: "dial"}}
	now := taken{pressure: unit.PressureBar(38), temperature: unit.TemperatureCelsius(21), gauge: "dial"}
	if len(v.standingLoss(was, now)) != 1 {
		t.Error("two bar are lost on one dial")
	}
	if v.settings.SameGaugeShare = 1; len(v.standingLoss(was, now)) != 0 {
		t.Error("where nothing of a gauge's error cancels, a dial explains two bar")
	}
}

func TestStandingLoss(t *testing.T) {
	v := &view{moment: moment{at: 1_804_060_800_000, today: "2027-03-03", settings: catalogue.DefaultSettings()}}
	at := func(bar, celsius float64, gauge string) taken {
		return taken{pressure: unit.PressureBar(bar), temperature: unit.TemperatureCelsius(celsius), gauge: gauge}
	}
	for _, c := range []struct {
		name          string
		before, after taken
		leaks         bool
	}{
		{"nothing lost", at(40, 21, "digital"), at(40, 21, "digital"), false},
		{"within the temperatures", at(40, 21, "digital"), at(39.4, 21, "digital"), false},
		{"more than they explain", at(40, 21, "digital"), at(38, 21, "digital"), true},
		{"S45 colder, and nothing lost", at(40, 21, "digital"), at(37.5, 3, "digital"), false},
		{"S45 warmer, and nothing lost", at(37.5, 3, "digital"), at(40, 21, "digital"), false},
		{"colder, and lost", at(40, 21, "digital"), at(35, 3, "digital"), true},
		{"another gauge may differ", at(40, 21, "dial"), at(37.5, 21, "digital"), false},
		{"more than another gauge explains", at(40, 21, "dial"), at(36, 21, "digital"), true},
		{"less than the site asks about", at(5, 21, "digital"), at(4.6, 21, "digital"), false},
		{"an unknown temperature explains more", taken{pressure: unit.PressureBar(40), gauge: "digital"}, taken{pressure: unit.PressureBar(38), gauge: "digital"}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			was := cylinder{Cylinder: models.Cylinder{Pressure: c.before.pressure, Temperature: c.before.temperature, Gauge: c.before.gauge}}
			found := v.standingLoss(was, c.after)
			if (len(found) > 0) != c.leaks {
				t.Errorf("found %+v", found)
			}
			if c.leaks && (found[0].Rule != "R34" || found[0].Severity != problem.Ask) {
				t.Errorf("%+v", found[0])
			}
		})
	}
}

// Pressure does not rise by itself: one of two readings is wrong, and who runs the desk says which (R32).
func TestARisingPressureIsAWrongReading(t *testing.T) {
	h := settle(t, storetest.New(t))
	tag := h.opened(40)
	h.give(tag, "A")
	o := ReadingOrder{Tag: tag, Pressure: "48 bar", Temperature: "room", Gauge: "digital", Reasons: map[string]string{"R32": "it was another one"}}
	_, err := h.Reading(t.Context(), h.act("A"), o)
	h.wants(err, problem.Refused, "it reads 8.0 bar more (at 21 °C) than on 1 Mar 08:00")
	given := o.Reasons
	o.Reasons = nil
	_, err = h.Reading(t.Context(), h.act("clerk"), o)
	h.wants(err, problem.Refused, "a reason is needed")
	o.Reasons = given
	if r, err := h.Reading(t.Context(), h.act("clerk"), o); err != nil || *r.PressureBar != 48 || h.one(tag).Ledger[0].Reason != "R32: it was another one" {
		t.Errorf("%+v %v", r, err)
	}
	shelved := h.opened(40)
	o.Tag = shelved
	if _, err := h.Reading(t.Context(), h.act("A"), o); err != nil {
		t.Errorf("on the shelf nothing rests on it yet, and a reason is enough: %v", err)
	}
	h.alter(tag, func(c *models.Cylinder) { c.PressureSource, c.Pressure = Computed, unit.PressureBar(20) })
	if _, err := h.Reading(t.Context(), h.act("A"), ReadingOrder{Tag: tag, Pressure: "40 bar", Gauge: "digital"}); err != nil {
		t.Errorf("a calculation may be too low: %v", err)
	}
}

// A loss while it stood still wants an answer: a reason, or a hold with one tap (R34).
func TestLossIsAnswered(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		tag := h.opened(40)
		order := ReadingOrder{Tag: tag, Pressure: "31 bar", Temperature: "room", Gauge: "digital"}
		_, err := h.Reading(t.Context(), h.act("A"), order)
		h.wants(err, problem.Refused, "R34|a leak is suspected")
		if h.one(tag).Version != 2 {
			t.Error("a refused reading was kept")
		}
		order.HoldLeak = true
		r, err := h.Reading(t.Context(), h.act("A"), order)
		if err != nil || r.Hold == nil || r.Hold.Reason != LeakSuspected || !strings.Contains(r.Hold.Text, "it lost 9.0 bar") {
			t.Fatalf("%+v %v", r, err)
		}
		a := h.one(tag)
		if len(a.Holds) != 1 || a.Readiness.State != DoNotUse || *a.PressureBar != 31 {
			t.Errorf("%+v %+v", a.Holds, a.LastReading)
		}
		h.verify()
	})
}

func TestLossWithAReasonIsNoHold(t *testing.T) {
	h := settle(t, storetest.New(t))
	tag := h.opened(40)
	r, err := h.Reading(t.Context(), h.act("A"), ReadingOrder{Tag: tag, Pressure: "31 bar", Gauge: "digital", Reasons: map[string]string{"R34": "purged a new regulator"}})
	if err != nil || r.Hold != nil || len(h.one(tag).Holds) != 0 || h.one(tag).Ledger[0].Reason != "R34: purged a new regulator" {
		t.Errorf("%+v %v %+v", r, err, h.one(tag).Ledger[0])
	}
	if l := h.one(tag).Ledger[0]; l.Before != "40.0 bar" || l.After != "31.0 bar" {
		t.Errorf("%+v", l)
	}
}

func TestColdCylinderIsWarmAgainAfterTimeAndRolling(t *testing.T) {
	h := settle(t, storetest.New(t))
	tag := h.opened(40)
	read := func(o ReadingOrder) ReadingAnswer {
		t.Helper()
		o.Tag, o.Pressure, o.Gauge, o.Reasons = tag, "38 bar", "digital", map[string]string{"R32": "known", "R34": "known"}
		r, err := h.Reading(t.Context(), h.act("A"), o)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	coldest := func() float64 {
		t.Helper()
		row, err := h.Store.CylinderByTag(t.Context(), unit.Tag(tag))
		if err != nil {
			t.Fatal(err)
		}
		return row.Coldest.Celsius()
	}
	read(ReadingOrder{Temperature: "-8 C"})
	if coldest() != -8 {
		t.Errorf("coldest %v", coldest())
	}
	read(ReadingOrder{Temperature: "3 C"})
	h.now = h.now.Add(2 * time.Hour)
	early := read(ReadingOrder{Temperature: "20 C", Rolled: true})
	if coldest() != -8 || !hasRule(early.Findings, "R14b") {
		t.Errorf("two hours are too few: %v %+v", coldest(), early.Findings)
	}
	h.now = h.now.Add(24 * time.Hour)
	read(ReadingOrder{Temperature: "20 C"})
	if coldest() != -8 {
		t.Error("it was not rolled")
	}
	h.now = h.now.Add(24 * time.Hour)
	if late := read(ReadingOrder{Temperature: "20 C", Rolled: true}); coldest() != 20 || hasRule(late.Findings, "R14b") {
		t.Errorf("warm for a day and rolled: %v %+v", coldest(), late.Findings)
	}
}

func TestReadingNotes(t *testing.T) {
	h := settle(t, storetest.New(t))
	r, err := h.Reading(t.Context(), h.act("A"), ReadingOrder{Tag: h.opened(2.2), Pressure: "1.9 bar", Gauge: "digital"})
	if err != nil || !hasRule(r.Findings, "R10") || *r.UsableL != 0 {
		t.Errorf("below its cut-off: %+v %v", r, err)
	}
	sealed := h.receive(q4("7K-2206", 1))[0]
	r, err = h.Reading(t.Context(), h.act("clerk"), ReadingOrder{Tag: sealed, Pressure: "50 bar", Gauge: "digital"})
	if err != nil {
		t.Fatal(err)
	}
	var words string
	for _, f := range r.Findings {
		words += f.Text + "; " + f.Advice + "; "
	}
	contains(t, "a sealed one", words, "not opened to be measured|it is put on hold with \"Low on arrival\"")
	if r.Hold == nil || r.Hold.Reason != LowOnArrival {
		t.Errorf("it is not on hold: %+v", r.Hold)
	}
	contains(t, "the purchaser's tasks", h.tasks("purchaser"), "is low on arrival: claim from")
	before := h.tasks("purchaser")
	if r, err = h.Reading(t.Context(), h.act("clerk"), ReadingOrder{Tag: sealed, Pressure: "50 bar", Gauge: "digital"}); err != nil || r.Hold != nil || h.tasks("purchaser") != before {
		t.Errorf("a second reading tells it again: %+v %v", r.Hold, err)
	}
	full := h.receive(q4("7K-2207", 1))[0]
	if r, err = h.Reading(t.Context(), h.act("clerk"), ReadingOrder{Tag: full, Pressure: "66 bar", Gauge: "digital"}); err != nil || r.Hold != nil {
		t.Errorf("a full one is held: %+v %v", r.Hold, err)
	}
}

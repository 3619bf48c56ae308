package stock

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

// outWith gives A an opened cylinder of four-gas with so many bar on a digital gauge, at 21 °C.
func (h *harrowmere) outWith(bar float64) (tag string, id int64) {
	h.t.Helper()
	tag = h.receive(q4("7K-2206", 1))[0]
	h.open(tag, bar)
	return tag, h.take("A", tag, 22).ID
}

func TestS45ColdOutsideAndWarmInsideIsNoUse(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tag := h.receive(q4("7K-2206", 1))[0]
		h.open(tag, 37.5)
		h.alter(tag, func(c *models.Cylinder) { c.Temperature = unit.TemperatureCelsius(3) })
		id := h.take("A", tag, 14).ID
		a := h.back("A", ReturnOrder{Checkout: id, Pressure: "40.0 bar", Temperature: "21 C", Gauge: "digital"})
		if a.Verdict != Unchanged || len(a.Findings) != 0 || a.ExpectedL != 0 || *a.MeasuredL > 0.5 || a.Place != "CAGE" || a.Stage != Opened {
			t.Errorf("%+v", a)
		}
		if got := h.entries("cylinder:" + tag); strings.Contains(fmt.Sprint(got), "mL") || got[len(got)-1] != "return 1 cylinder CAGE" {
			t.Errorf("gas is booked as used: %q", got)
		}
		h.verify()
	})
}

func TestS47MoreGasThanLoggedWantsACause(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tag, id := h.outWith(40)
		h.log("A", id, 22) // 3.30 L and 0.30 L of purge
		o := ReturnOrder{Checkout: id, Pressure: "30.4 bar", Temperature: "21 C", Gauge: "digital"}
		_, err := h.Return(h.ctx(), h.act("A"), o)
		h.wants(err, problem.Refused, "3.60 L were logged (tests 3.30 L, purge 0.30 L)")
		o.Reasons = map[string]string{"R32": "the regulator was left on"}
		a := h.back("A", o)
		within(t, "measured", *a.MeasuredL, 9.5, 0.02)
		within(t, "excess", *a.MeasuredL-a.ExpectedL, 5.9, 0.03) // 2 % of what was measured
		if a.Verdict != Excess || a.Cause != LeftOn || a.Hold != nil || a.ThresholdL > 3 || a.ThresholdL < 1 {
			t.Errorf("%+v", a)
		}
		lost := -int64(math.Round((*a.MeasuredL - a.ExpectedL) * 1000))
		want := fmt.Sprintf("[use -3300 mL CAGE use -300 mL CAGE purge use %d mL CAGE valve open return -1 cylinder person:A R32: the regulator was left on return 1 cylinder CAGE R32: the regulator was left on]", lost)
		if got := h.entries("cylinder:" + tag); fmt.Sprint(got[len(got)-5:]) != want {
			t.Errorf("ledger %v\nwant   %s", got[len(got)-5:], want)
		}

		again := h.take("A", tag, 22).ID
		a = h.back("A", ReturnOrder{Checkout: again, Pressure: "20 bar", Temperature: "21 C", Gauge: "digital", Reasons: map[string]string{"R32": "unknown"}})
		if a.Verdict != Excess || a.Hold == nil || a.Hold.Reason != LeakSuspected || a.Caution == "" {
			t.Fatalf("the second time: %+v", a)
		}
		c := h.one(tag)
		if len(c.Holds) != 1 || c.Readiness.State != DoNotUse {
			t.Errorf("%+v %+v", c.Holds, c.Readiness.State)
		}
		h.verify()
	})
}

func TestALeakOfAdsorbingGasIsHeldAtOnce(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tag := h.receive(chlorine())[0]
	o := CheckOutOrder{TakeOrder: TakeOrder{Purpose: Bump}, Cylinder: tag}
	out, err := h.CheckOut(h.ctx(), h.act("A"), o)
	if err != nil {
		t.Fatal(err)
	}
	a := h.back("A", ReturnOrder{Checkout: out.ID, Pressure: "40 bar", Temperature: "21 C", Gauge: "digital", Reasons: map[string]string{"R32": "I don't know"}})
	if a.Cause != Unclear || a.Hold == nil || a.Stage != Opened || a.OpenedOn != "2027-03-03" {
		t.Errorf("%+v", a)
	}
	contains(t, "findings", say(a.Findings), "R32 note it is put on hold: Leak suspected")
}

func TestASmallLossIsCoveredByTheLastAnswer(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tag, id := h.outWith(40)
	h.back("A", ReturnOrder{Checkout: id, Pressure: "36 bar", Temperature: "21 C", Gauge: "digital", Reasons: map[string]string{"R32": "long purge"}})
	h.now = h.now.Add(60 * 1e9)
	a := h.back("A", ReturnOrder{Checkout: h.take("A", tag, 1).ID, Pressure: "33.5 bar", Temperature: "21 C", Gauge: "digital"})
	if a.Verdict != Excess || a.Cause != Purged || problem.Worst(a.Findings) != problem.Note {
		t.Errorf("%+v", a)
	}
	contains(t, "findings", say(a.Findings), "as the last time: purge")
	_, err := h.Return(h.ctx(), h.act("B"), ReturnOrder{Checkout: h.take("B", tag, 1).ID, Pressure: "31 bar", Temperature: "21 C", Gauge: "digital"})
	h.wants(err, problem.Refused, "2.51 L left it, and 0.00 L were logged")
	var p *problem.Error
	if errors.As(err, &p) {
		contains(t, "the advice", say(p.Findings), "say why: regulator left on, purge, more tests, leak, unknown")
	}
	_, err = h.Return(h.ctx(), h.act("clerk"), ReturnOrder{Checkout: 3, Pressure: "26 bar", Temperature: "21 C", Gauge: "digital"})
	h.wants(err, problem.Refused, "a reason is needed")
}

func TestLessGasThanLoggedIsAskedAbout(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	_, id := h.outWith(40)
	h.log("A", id, 40) // 6.3 L
	o := ReturnOrder{Checkout: id, Pressure: "39 bar", Temperature: "21 C", Gauge: "digital"}
	_, err := h.Return(h.ctx(), h.act("A"), o)
	h.wants(err, problem.Refused, "less than logged")
	o.Reasons = map[string]string{"R32": "half of them were done with another one"}
	if a := h.back("A", o); a.Verdict != Short {
		t.Errorf("%+v", a)
	}
}

func TestPressureDoesNotRise(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tag, id := h.outWith(40)
		o := ReturnOrder{Checkout: id, Pressure: "45 bar", Temperature: "21 C", Gauge: "digital", Reasons: map[string]string{"R32": "it is so"}}
		_, err := h.Return(h.ctx(), h.act("A"), o)
		h.wants(err, problem.Refused, "L more than when it went out (40.0 bar then, 45.0 bar now)")
		h.now = h.now.Add(60 * 1e9)
		if _, err := h.Reading(h.ctx(), h.act("clerk"), ReadingOrder{Tag: tag, Pressure: "45 bar", Temperature: "21 C", Gauge: "digital", Reasons: map[string]string{"R32": "40 was a slip"}}); err != nil {
			t.Fatal(err)
		}
		if a := h.back("A", o); a.Verdict != Unchanged || *a.MeasuredL != 0 {
			t.Errorf("after the clerk's reading: %+v", a)
		}
	})
}

func TestTheFirstReturnComparesWithTheFill(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tag := h.receive(q4("7K-2206", 1))[0]
		id := h.take("A", tag, 22).ID
		h.now = h.now.Add(30 * 60 * 60 * 1e9)
		a := h.back("A", ReturnOrder{Checkout: id, Pressure: "64 bar", Temperature: "room", Gauge: "digital", Tests: []TestLogOrder{
			{Instrument: "D-001", Procedure: "bump-q4", Result: Pass}, {}, {Instrument: "P-001", Procedure: "cal-q4", Result: Fail, Attempts: 3},
		}})
		if a.Verdict != AsExpected || a.Stage != Opened || a.OpenedOn != "2027-03-03" || a.ThresholdL < 3 {
			t.Errorf("%+v", a)
		}
		within(t, "expected", a.ExpectedL, 0.15+3*0.6+0.3, 1e-9)
		contains(t, "findings", say(a.Findings), "R31 note cal-q4 failed → tag it and take it out of use now")
		c, err := h.Checkout(h.ctx(), h.people["A"], id)
		if err != nil || len(c.Logged) != 2 || c.Logged[1].Attempts != 3 || c.Progress.Failed != 1 || c.In == nil || c.In.PressureBar != 64 || *c.MeasuredL != *a.MeasuredL || c.MayReturn {
			t.Errorf("%+v %v", c.Progress, err)
		}
		if back := c.Explained.Return; back == nil || back.Verdict != AsExpected || back.By != "A" || back.PurgeL != 0.3 || c.Explained.Out.NeedL != 3.6 {
			t.Errorf("%+v", c.Explained)
		}
		h.verify()
	})
}

func TestWithoutAGaugeThePressureIsComputed(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tag, id := h.outWith(40)
		h.log("A", id, 22)
		a := h.back("A", ReturnOrder{Checkout: id, Place: "VAN-1"})
		if a.MeasuredL != nil || a.Verdict != AsExpected || a.PressureSource != Computed || a.Place != "VAN-1" {
			t.Errorf("%+v", a)
		}
		within(t, "pressure", *a.PressureBar, 40-3.6*1.01325, 0.01)
		contains(t, "findings", say(a.Findings), "R32 note no gauge was possible: its pressure is computed from the 3.60 L")
		contains(t, "tasks", h.tasks("clerk"), "read the gauge of "+tag+" at VAN-1")
		m, err := h.moment(h.ctx(), s)
		if err != nil {
			t.Fatal(err)
		}
		o, err := loadOuting(h.ctx(), s, m, id)
		if err != nil {
			t.Fatal(err)
		}
		left, err := o.v.content(o.cylinder, o.Pressure, o.Temperature).FreeLitres()
		full, fullErr := o.v.content(o.cylinder, o.row.OutPressure, o.row.OutTemperature).FreeLitres()
		if err != nil || fullErr != nil || math.Abs(full-left-3.6) > 1e-4 {
			t.Errorf("%g L less, %v %v", full-left, err, fullErr)
		}
		unused := h.back("A", ReturnOrder{Checkout: h.take("A", tag, 1).ID, Place: "CAGE"})
		if unused.Verdict != Unchanged || len(unused.Findings) != 0 || *unused.PressureBar != *a.PressureBar {
			t.Errorf("nothing was used: %+v", unused)
		}
		h.verify()
	})
}

// A pressure that somebody read meanwhile is trusted more than the log before it (R14).
func TestWhatIsLeftIsCountedFromTheLastReading(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tag, id := h.outWith(40)
		h.log("A", id, 10)
		h.now = h.now.Add(60 * 1e9)
		if _, err := h.Reading(h.ctx(), h.act("A"), ReadingOrder{Tag: tag, Pressure: "30 bar", Temperature: "room", Gauge: "digital"}); err != nil {
			t.Fatal(err)
		}
		h.now = h.now.Add(60 * 1e9)
		h.log("A", id, 2)
		c, err := h.Checkout(h.ctx(), h.people["A"], id)
		if err != nil || c.Progress.UsedL != 12*0.15+0.3 {
			t.Fatalf("%+v %v", c.Progress, err)
		}
		within(t, "expected pressure", *c.Progress.ExpectedBar, 30-2*0.15*1.01325, 0.01)
		within(t, "left", *c.Progress.LeftL, 28/1.01325-0.3, 0.02)
		a := h.back("A", ReturnOrder{Checkout: id})
		if a.PressureSource != Computed {
			t.Errorf("%+v", a.LastReading)
		}
		within(t, "pressure", *a.PressureBar, 30-2*0.15*1.01325, 0.01)
		again := h.take("A", tag, 1).ID
		h.now = h.now.Add(60 * 1e9)
		if _, err := h.Reading(h.ctx(), h.act("A"), ReadingOrder{Tag: tag, Pressure: "29 bar", Temperature: "cold", Gauge: "digital"}); err != nil {
			t.Fatal(err)
		}
		if a := h.back("A", ReturnOrder{Checkout: again}); *a.PressureBar != 29 || a.PressureSource != Measured {
			t.Errorf("nothing was used since it was read: %+v", a.LastReading)
		}
		h.verify()
	})
}

func TestASmallRiseIsNothingUsed(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	_, id := h.outWith(40)
	a := h.back("A", ReturnOrder{Checkout: id, Pressure: "40.3 bar", Temperature: "21 C", Gauge: "digital"})
	if a.Verdict != Unchanged || *a.MeasuredL != 0 {
		t.Errorf("%+v", a)
	}
	contains(t, "findings", say(a.Findings), "R32 note it reads 0.3 L more than when it went out")
}

func TestWhatWasDecidedIsToldWithEmptyReasons(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	_, id := h.outWith(40)
	h.back("A", ReturnOrder{Checkout: id})
	c, err := h.Checkout(h.ctx(), h.people["A"], id)
	if err != nil || c.Explained.Out.Reasons == nil || c.Explained.Return.Reasons == nil {
		t.Errorf("%+v %v", c.Explained, err)
	}
	if c.In == nil || c.In.Source != Measured || c.In.PressureBar != 40 {
		t.Errorf("nobody read it on its return, and what is known of it is older: %+v", c.In)
	}
}

func TestSpentAndBrokenSeals(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tags := h.receive(q4("7K-2206", 4))
	for i, c := range []struct {
		order  ReturnOrder
		stage  string
		opened unit.Date
	}{
		{ReturnOrder{}, Sealed, ""},
		{ReturnOrder{Opened: true}, Opened, "2027-03-03"},
		{ReturnOrder{Spent: true}, Spent, "2027-03-03"},
		{ReturnOrder{Pressure: "2.0 bar", Temperature: "cold", Gauge: "digital", Reasons: map[string]string{"R32": "left open over night"}}, Spent, "2027-03-03"},
	} {
		c.order.Checkout = h.take("A", tags[i], 1).ID
		a := h.back("A", c.order)
		if a.Stage != c.stage || a.OpenedOn != c.opened {
			t.Errorf("%d: %s, opened on %q", i, a.Stage, a.OpenedOn)
		}
		if told := strings.Contains(say(a.Findings), "it counts as spent"); told != (c.order.Pressure != "") {
			t.Errorf("%d: told that it is spent is %v", i, told)
		}
	}
}

func TestWhoMayBringItBackAndWhatTheOrderMayBe(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tag, id := h.outWith(40)
	_, err := h.Return(h.ctx(), h.act("B"), ReturnOrder{Checkout: id})
	h.wants(err, problem.Forbidden, tag+" is with A")
	_, err = h.Return(h.ctx(), h.act("A"), ReturnOrder{Checkout: 99})
	h.wants(err, problem.Missing, "check-out")
	_, err = h.Return(h.ctx(), h.act("A"), ReturnOrder{Checkout: id, Pressure: "40", Temperature: "warmish", Gauge: "brass", Place: "ATTIC", Tests: []TestLogOrder{
		{Instrument: "D-999", Procedure: "bump-cl", Result: "good", Attempts: 101},
	}})
	h.fields(err, "gauge place pressure temperature tests.0.attempts tests.0.instrument tests.0.procedure tests.0.result")
	if a := h.back("clerk", ReturnOrder{Checkout: id, Pressure: "40 bar", Gauge: "digital"}); a.Verdict != Unchanged {
		t.Errorf("%+v", a)
	}
	_, err = h.Return(h.ctx(), h.act("A"), ReturnOrder{Checkout: id})
	h.wants(err, problem.Conflict, tag+" came back already, on 08:00")
	if c := h.one(tag); c.Custody.Kind != "place" || c.Custody.Name != "CAGE" {
		t.Errorf("%+v", c.Custody)
	}
}

func TestCausesAreReadFromWhatPeopleWrite(t *testing.T) {
	for reason, want := range map[string][2]string{
		"Regulator left on":          {LeftOn, "valve open"},
		"valve open over night":      {LeftOn, "valve open"},
		"a long purge":               {Purged, "purge"},
		"more tests than I logged":   {MoreTests, ""},
		"unknown":                    {Unclear, "unknown"},
		"purge, or perhaps a leak":   {Leaked, "leak"},
		"dropped, the valve was hit": {"dropped, the valve was hit", "dropped, the valve was hit"},
		"":                           {"", ""},
	} {
		if cause := causeOf(reason); cause != want[0] || wasteOf(cause) != want[1] {
			t.Errorf("%q is %q, waste %q", reason, cause, wasteOf(cause))
		}
	}
}

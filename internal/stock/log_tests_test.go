package stock

import (
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

func TestSeveralLogAgainstOneUsableFigure(t *testing.T) { // S48
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		_, id := h.outWith(40)
		h.log("A", id, 12)
		h.log("B", id, 10)
		for i := range 9 {
			o := TestLogOrder{Checkout: id, Instrument: "D-001", Procedure: "cal-q4", Result: Pass, AsFound: "H2S 24.1 ppm", AsLeft: map[string]any{"H2S": "24.6 ppm"}}
			a, err := h.LogTests(h.ctx(), h.act("B"), o)
			if err != nil || !a.Test.Valid || a.Progress.Logged != 23+i || len(a.Findings) != 0 {
				t.Fatalf("%+v %v", a, err)
			}
			if got := string(a.Test.Readings); got != `{"as_found":"H2S 24.1 ppm","as_left":{"H2S":"24.6 ppm"}}` {
				t.Errorf("kept is %s", got)
			}
		}
		c, err := h.Checkout(h.ctx(), h.people["viewer"], id)
		if err != nil || c.Progress.UsedL != 9.0 || c.Progress.PurgeL != 0.3 || c.Progress.Passed != 31 || len(c.Logged) != 31 || c.Logged[12].By != "B" {
			t.Errorf("%+v %v", c.Progress, err)
		}
		within(t, "left", *c.Progress.LeftL, *c.Usable.UsableL-9.0, 1e-9)
		if len(c.Progress.TestsLeft) != 1 || c.Progress.TestsLeft[0].Expected != int(*c.Progress.LeftL/0.15) {
			t.Errorf("%+v", c.Progress.TestsLeft)
		}
	})
}

func TestAFailedTestTakesGasAndAnInstrumentOutOfUse(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	_, id := h.outWith(40)
	a, err := h.LogTests(h.ctx(), h.act("A"), TestLogOrder{Checkout: id, Instrument: "D-003", Procedure: "bump-q4", Result: Fail, Attempts: 3})
	if err != nil || a.Test.UsedL != 0.45 || a.Progress.Failed != 1 || a.Progress.UsedL != 0.75 {
		t.Errorf("%+v %v", a, err)
	}
	contains(t, "findings", say(a.Findings), "R31 note bump-q4 failed → tag it and take it out of use now; calibrate it if the gas and the set are right")
}

func TestTestsWithDoubtfulGasAreRecordedAndDoNotCount(t *testing.T) { // R31
	h := onRounds(t, storetest.New(t))
	tag := h.expires("SOON", "2027-03-03")
	id := h.take("A", tag, 5).ID
	log := func(procedure string) TestLogAnswer {
		t.Helper()
		a, err := h.LogTests(h.ctx(), h.act("A"), TestLogOrder{Checkout: id, Instrument: "D-001", Procedure: procedure, Result: Pass})
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	if a := log("bump-q4"); !a.Test.Valid {
		t.Errorf("on the last day: %s", say(a.Findings))
	}
	h.now = h.now.AddDate(0, 0, 1)
	if a := log("bump-q4"); a.Test.Valid {
		t.Error("a test with expired gas counts")
	} else {
		contains(t, "findings", say(a.Findings), "R26 note use by 3 Mar 2027|test the instrument again with other gas")
	}
	h.now = h.now.AddDate(0, 0, -1)
	if _, err := h.Hold(h.ctx(), h.act("supervisor"), HoldOrder{On: HoldOn{Kind: "cylinder", ID: unit.Typed(tag)}, Reason: CertificateMissing}); err != nil {
		t.Fatal(err)
	}
	if a := log("bump-q4"); !a.Test.Valid {
		t.Errorf("without its certificate bump tests count: %s", say(a.Findings))
	}
	if a := log("cal-q4"); a.Test.Valid {
		t.Error("without its certificate a calibration counts")
	}
}

func TestWhatIsWrongWithATest(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	tag, id := h.outWith(40)
	for want, o := range map[string]TestLogOrder{
		"instrument procedure result":          {},
		"attempts instrument procedure result": {Instrument: "D-999", Procedure: "bump-cl", Result: "PASS", Attempts: -1},
		"as_found procedure":                   {Instrument: "D-001", Procedure: "bump-q9", Result: Pass, AsFound: 24.1},
	} {
		o.Checkout = id
		_, err := h.LogTests(h.ctx(), h.act("A"), o)
		h.fields(err, want)
	}
	_, err := h.LogTests(h.ctx(), h.act("A"), TestLogOrder{Checkout: 99})
	h.wants(err, problem.Missing, "check-out")
	h.back("A", ReturnOrder{Checkout: id})
	_, err = h.LogTests(h.ctx(), h.act("A"), TestLogOrder{Checkout: id, Instrument: "D-001", Procedure: "bump-q4", Result: Pass})
	h.wants(err, problem.Conflict, tag+" came back already")
}

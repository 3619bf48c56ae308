package stock

import (
	"encoding/json"

	"spanroom/internal/store"
)

// Progress is how far a cylinder has come that is out: what was logged, what that took, and what it leaves.
type Progress struct {
	Logged      int         `json:"logged"`
	Passed      int         `json:"passed"`
	Failed      int         `json:"failed"`
	UsedL       float64     `json:"used_l"` // tests, each attempt counted, and one purge
	PurgeL      float64     `json:"purge_l"`
	LeftL       *float64    `json:"left_l"` // null where pressure does not tell
	LeftLowL    *float64    `json:"left_low_l"`
	ExpectedBar *float64    `json:"expected_bar"` // what a gauge should show now, at the temperature of the last reading
	TestsLeft   []TestsLeft `json:"tests_left"`   // of the procedures in use
}

// TestAnswer is one test as it was recorded.
type TestAnswer struct {
	ID         int64           `json:"id"`
	Instrument string          `json:"instrument"`
	Procedure  string          `json:"procedure"`
	Purpose    string          `json:"purpose"`
	Result     string          `json:"result"`
	Attempts   int64           `json:"attempts"`
	UsedL      float64         `json:"used_l"`
	Readings   json.RawMessage `json:"readings"` // as_found and as_left
	Valid      bool            `json:"valid"`
	HappenedAt string          `json:"happened_at"`
	By         string          `json:"by"`
}

func testAnswer(t store.TestRow) TestAnswer {
	return TestAnswer{
		ID: t.ID, Instrument: t.Instrument, Procedure: t.Procedure, Purpose: t.Purpose, Result: t.Result, Attempts: t.Attempts,
		UsedL: t.Used.Litres(), Readings: json.RawMessage(t.Readings), Valid: t.Valid, HappenedAt: t.HappenedAt.String(), By: t.ByName,
	}
}

// progress counts from the last trusted pressure: several people log against the same figure.
func (o outing) progress() Progress {
	u := o.use(nil)
	p := Progress{Logged: len(o.logged), UsedL: u.litres(), PurgeL: u.purge, TestsLeft: []TestsLeft{}}
	for _, t := range o.logged {
		if t.Result == Pass {
			p.Passed++
		}
	}
	p.Failed = p.Logged - p.Passed
	from, since := o.lastRead(nil)
	now := o.v.contents(from, Purpose(o.row.Purpose), o.need.minimumInlet())
	if now.err != nil {
		return p
	}
	left := drawn(now.Usable, since.litres())
	p.LeftL, p.LeftLowL = &left.Litres, &left.Low
	expected := o.v.pressureAfter(from, since.litres()).Bar()
	p.ExpectedBar = &expected
	for _, procedure := range o.need.procedures() {
		lasts := left
		if u.purge == 0 { // the first test is still to come, with the purge before it
			lasts = without(left, o.need.purgeOf(procedure))
		}
		p.TestsLeft = append(p.TestsLeft, o.v.testsIn(lasts, procedure, o.need))
	}
	return p
}

// atOut is the cylinder as it went out.
func (o outing) atOut() cylinder {
	c := o.cylinder
	c.Pressure, c.Temperature, c.Gauge, c.PressureSource = o.row.OutPressure, o.row.OutTemperature, o.row.OutGauge, o.row.OutSource
	return c
}

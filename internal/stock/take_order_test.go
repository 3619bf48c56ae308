package stock

import (
	"fmt"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/store/storetest"
)

func TestAnOrderForGasIsReadAndAllThatIsWrongIsTold(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	h.make(&catalogue.Item{Code: "FILTER-H", Kind: "filter"}, &catalogue.Blend{Code: "EMPTY", Balance: "N2", Components: []catalogue.BlendPart{{Component: "CO", Amount: "10 ppm"}}})
	for want, o := range map[string]TakeOrder{
		"item tests":         {},
		"item place purpose": {Item: "Q5", Purpose: "smell", Place: "ATTIC"},
		"item":               {Item: "FILTER-H", Purpose: Bump},
		"blend":              {Item: "Q4", Blend: "CL", Purpose: Bump},
		"blend tests":        {Blend: "EMPTY"},
		"tests.0.count tests.1.count tests.2.procedure tests.3.procedure tests.4.procedure": {Item: "Q4", Tests: []TestOrder{
			{"bump-q4", 0}, {"bump-q4", 10_001}, {"bump-q9", 1}, {"", 5}, {"bump-cl", 1},
		}},
		"instruments.1 purpose": {Item: "Q4", Instruments: []string{"D-001", "D-999"}},
		"purpose":               {Item: "Q4", Purpose: Zero, Instruments: []string{"D-001"}},
		"round tests":           {Item: "Q4", Round: "nowhere"},
		"round":                 {Item: "CL", Round: "stoke"},
		"until":                 {Item: "Q4", Purpose: Bump, From: "2027-03-05", Until: "2027-03-04"},
		"from until":            {Item: "Q4", Purpose: Bump, From: "05/04/27", Until: "soon"},
	} {
		_, err := h.Recommend(h.ctx(), h.people["A"], o)
		h.fields(err, want)
	}
	for _, o := range []TakeOrder{
		{Item: "Q4", Purpose: Bump, Until: "2026-03-03"}, {Item: "Q4", Purpose: Bump, Until: "2028-04-07"}, {Item: "Q4", Purpose: Bump, From: "2026-01-01"},
	} {
		_, err := h.Recommend(h.ctx(), h.people["A"], o)
		h.fields(err, "until")
	}
	_, err := h.Recommend(h.ctx(), h.people["A"], TakeOrder{Item: "Q4", Tests: []TestOrder{{"bump-cl", 1}}})
	h.wants(err, "invalid", "bump-cl is done with CL, not with Q4")
	_, err = h.Recommend(h.ctx(), h.people["A"], TakeOrder{Item: "q4", Purpose: Bump})
	h.wants(err, "invalid", `there is no item "q4"`)
}

func TestANeedFollowsFromTestsInstrumentsOrARound(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	h.change("instrument", "D-002", func(o catalogue.Order) {
		o.(*catalogue.Instrument).Schedule = []catalogue.Schedule{{Procedure: "bump-q4", EveryDays: 7}}
	})
	for name, c := range map[string]struct {
		order TakeOrder
		need  string
		needL float64
	}{
		"tests":                             {TakeOrder{Item: "Q4", Tests: []TestOrder{{"bump-q4", 22}, {}, {"cal-q4", 9}}}, "calibration [{bump-q4 22} {cal-q4 9}] 2027-03-03 2027-03-03 ", 9.0},
		"a blend, dates as people type":     {TakeOrder{Blend: "Q4", Tests: []TestOrder{{"bump-q4", 14}}, From: "4 Mar 2027", Until: "2027-03-08", Place: "CAGE"}, "bump [{bump-q4 14}] 2027-03-04 2027-03-08 CAGE", 2.4},
		"a first day to come":               {TakeOrder{Item: "Q4", Purpose: Bump, From: "2027-03-08"}, "bump [] 2027-03-08 2027-03-08 ", 0},
		"entered late, judged as of today":  {TakeOrder{Item: "Q4", Purpose: Bump, From: "2027-03-01", Until: "2027-03-01"}, "bump [] 2027-03-01 2027-03-03 ", 0},
		"the greater purpose of both":       {TakeOrder{Item: "Q4", Purpose: Check, Tests: []TestOrder{{"bump-q4", 1}}}, "check [{bump-q4 1}] 2027-03-03 2027-03-03 ", 0.45},
		"by schedule, else what takes most": {TakeOrder{Item: "Q4", Purpose: Bump, Instruments: []string{"D-001", "D-002", " D-003"}}, "bump [{bump-pumped 2} {bump-q4 1}] 2027-03-03 2027-03-03 ", 0.9},
		"an instrument of a round alone":    {TakeOrder{Item: "Q4", Purpose: Calibration, Instruments: []string{"P-001"}}, "calibration [{cal-q4 1}] 2027-03-03 2027-03-03 ", 0.9},
		"a round, with its gas and place":   {TakeOrder{Round: "stoke"}, "calibration [{bump-q4 16} {cal-q4 2}] 2027-03-03 2027-03-03 VAN-1", 3.9},
		"a round, for a purpose":            {TakeOrder{Round: "stoke", Purpose: Bump, Item: "Q4", Place: "CAGE"}, "bump [{bump-q4 16}] 2027-03-03 2027-03-03 CAGE", 2.7},
	} {
		a := h.recommend(c.order)
		n := a.Need
		if got := fmt.Sprintf("%s %v %s %s %s", n.Purpose, n.Tests, n.From, n.Until, n.Place); got != c.need {
			t.Errorf("%s: %s, want %s", name, got, c.need)
		}
		if a.NeedL < c.needL-1e-9 || a.NeedL > c.needL+1e-9 {
			t.Errorf("%s: needs %g L, want %g", name, a.NeedL, c.needL)
		}
	}
}

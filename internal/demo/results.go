package demo

import (
	"fmt"

	"spanroom/internal/stock"
)

// oneFailsIn is after how many tests one fails.
const oneFailsIn = 211

// results are the tests of a session. Now and then one fails.
func (h *house) results(s session) []stock.TestLogOrder {
	var all []stock.TestLogOrder
	for _, l := range s.lines {
		for _, serial := range l.instruments {
			h.tests++
			all = append(all, h.result(l.procedure, serial, h.tests%oneFailsIn == 0))
		}
	}
	return all
}

// adjusted is the channel of which a calibration notes what it found and what it left.
var adjusted = map[string]struct {
	component string
	ppm       float64
}{calQ4: {"H2S", 25}, calCL: {"Cl2", 10}, calNH: {"NH3", 50}}

func (h *house) result(procedure, serial string, fails bool) stock.TestLogOrder {
	test := stock.TestLogOrder{Instrument: serial, Procedure: procedure, Result: stock.Pass}
	channel, calibrates := adjusted[procedure]
	found := channel.ppm * (1 + h.luck(0.06))
	if fails {
		test.Result, found = stock.Fail, channel.ppm/2
	}
	switch {
	case calibrates && fails:
		test.AsFound = reading(channel.component, found)
	case calibrates:
		test.AsFound, test.AsLeft = reading(channel.component, found), reading(channel.component, channel.ppm)
	case fails:
		test.AsFound = "no alarm"
	}
	return test
}

func reading(component string, ppm float64) map[string]any {
	return map[string]any{component: fmt.Sprintf("%.1f ppm", ppm)}
}

package fit

import (
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

func fixed(flow unit.Flow) *Regulator { return &Regulator{Code: "R-05", Flow: flow} }

func vented(flow unit.Flow) *Regulator { return &Regulator{Code: "R-05", Flow: flow, Vented: true} }

var (
	demand    = &Regulator{Code: "R-09", Demand: true}
	oneFigure = Instruments{Model: "DIFF-4", Sampling: Diffusion, FlowOne: 400}
	aRange    = Instruments{Model: "DIFF-4", Sampling: Diffusion, FlowMin: 250, FlowMax: 500, FlowOne: 300}
	atLeast   = Instruments{Model: "DIFF-4", Sampling: Diffusion, FlowMin: 250}
	atMost    = Instruments{Model: "DIFF-4", Sampling: Diffusion, FlowMax: 500}
	pumped    = Instruments{Model: "PUMP-4", Sampling: Pumped, PumpFlow: 450}
	pumpRange = Instruments{Model: "PUMP-4", Sampling: Pumped, PumpFlow: 450, FlowMin: 600, FlowMax: 800}
	unwritten = Instruments{Model: "DIFF-4", Sampling: Diffusion}
	unsampled = Instruments{Serials: []string{"D-043", "D-044"}, FlowOne: 400}
)

// Every row says what holds for a calibration, and what for a bump.
func TestFlowAgainstTheManual(t *testing.T) {
	const stop, ask, note = problem.Stop, problem.Ask, problem.Note
	for name, c := range map[string]struct {
		r           *Regulator
		m           Instruments
		reason      string
		exact, bump problem.Severity
		says        string
	}{
		"one figure":                           {r: fixed(400), m: oneFigure},
		"ten per cent below":                   {r: fixed(360), m: oneFigure},
		"ten per cent above":                   {r: fixed(440), m: oneFigure},
		"just below":                           {fixed(359), oneFigure, "flow_low", stop, stop, "R-05 gives 0.359 L/min, DIFF-4 takes 0.36 to 0.44 L/min (0.4 ± 10 %): too little gas reaches the sensor, and once calibrated it would then read high"},
		"just above":                           {fixed(441), oneFigure, "flow_high", stop, ask, "it pressurises the sensor, a bump may pass falsely and a calibration would under-read"},
		"the ends of a range":                  {r: fixed(250), m: aRange},
		"the other end of a range":             {r: fixed(500), m: aRange},
		"no ten per cent around a range":       {fixed(249), aRange, "flow_low", stop, stop, "0.25 to 0.5 L/min"},
		"no ten per cent above a range":        {fixed(501), aRange, "flow_high", stop, ask, "0.25 to 0.5 L/min"},
		"a range with one end":                 {fixed(249), atLeast, "flow_low", stop, stop, "at least 0.25 L/min"},
		"a range with one end, open above":     {r: fixed(3000), m: atLeast},
		"a range with the other end":           {fixed(501), atMost, "flow_high", stop, ask, "at most 0.5 L/min"},
		"a range with the other, open below":   {r: fixed(1), m: atMost},
		"demand without a pump":                {demand, oneFigure, "demand_needs_pump", stop, stop, "gives gas only to a pump, and DIFF-4 has none"},
		"demand with a pump":                   {r: demand, m: pumped},
		"S97: 1.0 L/min without a tee":         {fixed(1000), pumped, "flow_high", stop, ask, "would under-read"},
		"S97: with a tee":                      {r: vented(1000), m: pumped},
		"a tee does not lift the manual's top": {vented(801), pumpRange, "flow_high", stop, ask, "PUMP-4 takes 0.6 to 0.8 L/min: it pressurises the sensor"},
		"below the range of a pumped one":      {vented(599), pumpRange, "flow_low", stop, stop, "PUMP-4 takes 0.6 to 0.8 L/min: too little gas"},
		"a pumped one within its range":        {r: vented(800), m: pumpRange},
		"within its range without a tee":       {fixed(700), pumpRange, "flow_high", stop, ask, "there is no open tee"},
		"demand and a range":                   {r: demand, m: pumpRange},
		"1.1 × the pump with a tee":            {r: vented(495), m: pumped},
		"less than 1.1 × the pump":             {vented(494), pumped, "flow_low", stop, stop, "0.45 × 1.1 = 0.495 L/min: air is drawn in, and once calibrated it would then read up to about 1 % high"},
		"no more than the pump":                {vented(450), pumped, "flow_low", stop, stop, "would then read up to about 10 % high"},
		"less than the pump":                   {vented(300), pumped, "flow_low", stop, stop, "would then read about 50 % high"},
		"less than the pump, without a tee":    {fixed(300), pumped, "flow_low", stop, stop, "about 50 % high"},
		"the manual's flow is not entered":     {fixed(400), unwritten, "", ask, note, "the manual's flow is not entered for DIFF-4; regulator R-05 gives 0.4 L/min"},
		"the pump's rate is not entered":       {fixed(400), Instruments{Model: "PUMP-4", Sampling: Pumped, FlowOne: 400}, "", ask, note, "the manual's pump rate is not entered for PUMP-4"},
		"sampling is not entered":              {fixed(400), unsampled, "", ask, note, "the manual's flow is not entered for D-043, D-044"},
		"sampling is not entered, and demand":  {demand, unsampled, "", ask, note, "R-09 gives gas only to a pump"},
		"the regulator's flow is not entered":  {fixed(0), oneFigure, "", ask, note, "its figure is not entered"},
		"demand with a rate that is unknown":   {r: demand, m: Instruments{Sampling: Pumped}},
	} {
		t.Run(name, func(t *testing.T) {
			for _, purpose := range []Purpose{Calibration, Check, Zero, Bump, Line} {
				want := c.exact
				if purpose == Bump || purpose == Line {
					want = c.bump
				}
				found := flowFaults(Test{Purpose: purpose}, c.r, []Instruments{c.m}, figures)
				if want == "" {
					none(t, found)
					continue
				}
				oneFault(t, found, c.reason, "R23", want, c.says)
			}
		})
	}
}

func TestFlowAgainstTheProcedureWhereTestsAreCounted(t *testing.T) {
	bump, exact := Test{Purpose: Bump, Code: "bump-q4", Flow: 300}, Test{Purpose: Calibration, Code: "cal-q4", Flow: 300}
	none(t, flowFaults(exact, fixed(330), nil, figures))
	none(t, flowFaults(Test{Purpose: Calibration}, fixed(330), nil, figures))
	oneFault(t, flowFaults(exact, fixed(331), nil, figures), "", "R23", problem.Ask, "R-05 gives 0.331 L/min, procedure cal-q4 takes 0.27 to 0.33 L/min (0.3 ± 10 %)")
	oneFault(t, flowFaults(bump, fixed(269), nil, figures), "", "R23", problem.Note, "0.269 L/min")
	oneFault(t, flowFaults(bump, fixed(0), nil, figures), "", "R23", problem.Note, "not entered")
	oneFault(t, flowFaults(exact, demand, nil, figures), "", "R23", problem.Note, "no instruments are named")
}

// A site that takes no margin lets the pump have all of the flow: nothing is left over that needs a tee.
func TestPumpThatTakesAll(t *testing.T) {
	noMargin := figures
	noMargin.PumpMargin = 1
	none(t, flowFaults(Test{Purpose: Calibration}, fixed(450), []Instruments{pumped}, noMargin))
	oneFault(t, flowFaults(Test{Purpose: Calibration}, fixed(451), []Instruments{pumped}, noMargin), "flow_high", "R23", problem.Stop)
}

// Each model is judged by its own manual.
func TestEveryModelIsJudged(t *testing.T) {
	found := flowFaults(Test{Purpose: Calibration}, fixed(1000), []Instruments{oneFigure, {Model: "C-1", Sampling: Diffusion, FlowOne: 1000}, pumped}, figures)
	if len(found) != 2 || !strings.Contains(found[0].Text, "DIFF-4") || !strings.Contains(found[1].Text, "PUMP-4") {
		t.Errorf("got %+v", found)
	}
}

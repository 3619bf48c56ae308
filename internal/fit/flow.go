package fit

import (
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// flowFaults holds a regulator's flow against the manual of each model (rule R23), or against the procedure where no instruments
// are named.
func flowFaults(t Test, r *Regulator, m []Instruments, p Policy) []fault {
	if !r.Demand && r.Flow <= 0 {
		return []fault{r.unsure(t, r.name()+" has a fixed flow, and its figure is not entered", "enter the flow that is stamped on it")}
	}
	if len(m) == 0 {
		return procedureFaults(t, r, p)
	}
	var found []fault
	for i := range m {
		switch group := &m[i]; group.Sampling {
		case Diffusion:
			found = append(found, group.diffusionFaults(t, r, p)...)
		case Pumped:
			found = append(found, group.pumpFaults(t, r, p)...)
		default:
			found = append(found, group.unwritten(t, r, "flow"))
		}
	}
	return found
}

// procedureFaults is all that can be said where tests are only counted.
func procedureFaults(t Test, r *Regulator, p Policy) []fault {
	if r.Demand {
		return []fault{{"", problem.Finding{
			Rule: "R23", Severity: problem.Note, Subject: r.subject(),
			Text:   r.gives() + ", and no instruments are named",
			Advice: "use it on pumped instruments alone",
		}}}
	}
	takes := around(t.Flow, p)
	if t.Flow == 0 || !takes.under(r.Flow) && !takes.over(r.Flow) {
		return nil
	}
	return []fault{r.unsure(t, fmt.Sprintf("%s, %s takes %s", r.gives(), named("procedure", t.Code), takes),
		"take a regulator with the procedure's flow, or say why this one does")}
}

// diffusionFaults refuses too little gas and, where values count, too much; without a pump a demand regulator gives none.
func (m *Instruments) diffusionFaults(t Test, r *Regulator, p Policy) []fault {
	takes, known := m.takes(p)
	switch {
	case r.Demand:
		return []fault{r.wrongFlow("demand_needs_pump", problem.Stop,
			fmt.Sprintf("%s, and %s has none: no gas reaches the sensor", r.gives(), m.name()),
			"take a regulator with the fixed flow of the manual")}
	case !known:
		return []fault{m.unwritten(t, r, "flow")}
	case takes.under(r.Flow):
		return []fault{m.tooLittle(r, takes)}
	case takes.over(r.Flow):
		return []fault{m.tooMuch(t, r, takes)}
	}
	return nil
}

func (m *Instruments) tooLittle(r *Regulator, takes flows) fault {
	return r.wrongFlow("flow_low", problem.Stop,
		fmt.Sprintf("%s, %s takes %s: too little gas reaches the sensor, and once calibrated it would then read high", r.gives(), m.name(), takes), takeItsFlow)
}

func (m *Instruments) tooMuch(t Test, r *Regulator, takes flows) fault {
	return r.wrongFlow("flow_high", t.weigh(problem.Stop, problem.Ask), fmt.Sprintf("%s, %s takes %s: %s", r.gives(), m.name(), takes, pressurised), takeItsFlow)
}

const takeItsFlow = "take a regulator with the flow of the manual"

const pressurised = "it pressurises the sensor, a bump may pass falsely and a calibration would under-read: the monitor would then read low"

// pumpFaults refuses a fixed flow that does not feed the pump, one outside the range of a manual that gives one and, where values
// count, one whose rest cannot escape.
func (m *Instruments) pumpFaults(t Test, r *Regulator, p Policy) []fault {
	pump, flow := float64(m.PumpFlow), float64(r.Flow)
	need := pump * p.PumpMargin
	takes, _ := m.takes(p)
	switch {
	case r.Demand:
		return nil
	case m.PumpFlow <= 0:
		return []fault{m.unwritten(t, r, "pump rate")}
	case below(flow, need):
		return []fault{r.wrongFlow("flow_low", problem.Stop,
			fmt.Sprintf("%s, the pump of %s draws %s × %s = %s: air is drawn in, and once calibrated it would then read %s high",
				r.gives(), m.name(), figure(pump/1000), figure(p.PumpMargin), litres(need), dilution(pump, need, flow)),
			"take a demand regulator, or a higher fixed flow with an open tee")}
	case m.ranged() && takes.under(r.Flow):
		return []fault{m.tooLittle(r, takes)}
	case m.ranged() && takes.over(r.Flow):
		return []fault{m.tooMuch(t, r, takes)}
	case !r.Vented && below(pump, flow):
		return []fault{r.wrongFlow("flow_high", t.weigh(problem.Stop, problem.Ask),
			fmt.Sprintf("%s, the pump of %s draws %s, and there is no open tee: %s", r.gives(), m.name(), litres(pump), pressurised),
			"take a demand regulator, or one with an open tee; an exhaust hose is short, wide and never throttled")}
	}
	return nil
}

// dilution says by how much a monitor reads high that was set while its pump drew air along with the gas.
func dilution(pump, need, flow float64) string {
	about, times := "about", pump/flow
	if flow >= pump {
		about, times = "up to about", need/flow
	}
	return fmt.Sprintf("%s %.0f %%", about, max((times-1)*100, 1))
}

// unwritten is a model of which nobody entered what its manual says.
func (m *Instruments) unwritten(t Test, r *Regulator, what string) fault {
	return r.unsure(t, fmt.Sprintf("the manual's %s is not entered for %s; %s", what, m.name(), r.gives()), "compare with the manual, and enter sampling and "+what+" with the model")
}

// unsure is a flow that cannot be judged, or is not what the procedure says.
func (r *Regulator) unsure(t Test, text, advice string) fault {
	return r.wrongFlow("", t.weigh(problem.Ask, problem.Note), text, advice)
}

func (r *Regulator) wrongFlow(reason string, severity problem.Severity, text, advice string) fault {
	return fault{reason, problem.Finding{Rule: "R23", Severity: severity, Subject: r.subject(), Text: text, Advice: advice}}
}

// gives is what comes out of the regulator, in words.
func (r *Regulator) gives() string {
	if r.Demand {
		return r.name() + " gives gas only to a pump"
	}
	return r.name() + " gives " + litres(r.Flow)
}

// flows is a range in mL/min; an end of 0 is open.
type flows struct {
	low, high float64
	one       unit.Flow // the one figure around which it lies, in percent; 0 where the manual gives a range
	percent   float64
}

// takes is the range of the manual, or around its one figure.
func (m *Instruments) takes(p Policy) (flows, bool) {
	if m.ranged() {
		return flows{low: float64(m.FlowMin), high: float64(m.FlowMax)}, true
	}
	return around(m.FlowOne, p), m.FlowOne > 0
}

// ranged tells whether the manual gives a range of flow.
func (m *Instruments) ranged() bool { return m.FlowMin > 0 || m.FlowMax > 0 }

func around(f unit.Flow, p Policy) flows {
	return flows{float64(f) * (100 - p.FlowPct) / 100, float64(f) * (100 + p.FlowPct) / 100, f, p.FlowPct}
}

func (f flows) under(flow unit.Flow) bool { return below(float64(flow), f.low) }
func (f flows) over(flow unit.Flow) bool  { return f.high > 0 && below(f.high, float64(flow)) }

// String writes the range with the figure from which it is worked out.
func (f flows) String() string {
	switch {
	case f.one > 0:
		return fmt.Sprintf("%s to %s (%s ± %s %%)", figure(f.low/1000), litres(f.high), figure(f.one.LitresPerMinute()), figure(f.percent))
	case f.low <= 0:
		return "at most " + litres(f.high)
	case f.high <= 0:
		return "at least " + litres(f.low)
	}
	return figure(f.low/1000) + " to " + litres(f.high)
}

func litres[F ~int64 | ~float64](flow F) string { return figure(float64(flow)/1000) + " L/min" }

package fit

import (
	"fmt"
	"math"
	"slices"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// FitQuestion asks whether a regulator set suits a cylinder and an instrument, in the words of its JSON. A set is judged as for a
// calibration.
type FitQuestion struct {
	Cylinder   FitCylinder    `json:"cylinder"`
	Regulator  FitRegulator   `json:"regulator"`
	Tubing     *FitTubing     `json:"tubing"`
	Instrument *FitInstrument `json:"instrument"`
}

// FitCylinder is the cylinder of a FitQuestion. Its components are formulas, the balance included.
type FitCylinder struct {
	Outlet     string   `json:"outlet"`
	Components []string `json:"components"`
	FillBar    float64  `json:"fill_bar"`
}

// FitRegulator is the regulator of a FitQuestion; one on demand needs no flow.
type FitRegulator struct {
	Inlet    string      `json:"inlet"`
	MaxBar   float64     `json:"max_bar"`
	Mode     string      `json:"mode"`
	FlowLMin *float64    `json:"flow_l_min"`
	Body     string      `json:"body"`
	Vented   bool        `json:"vented"`
	Adapter  *FitAdapter `json:"adapter"`
}

// FitAdapter is the supplier's adapter of a regulator, from a cylinder's outlet to its inlet.
type FitAdapter struct {
	From   string  `json:"from"`
	To     string  `json:"to"`
	MaxBar float64 `json:"max_bar"`
}

// FitTubing is the tubing of a FitQuestion.
type FitTubing struct {
	Material string  `json:"material"`
	LengthM  float64 `json:"length_m"`
}

// FitInstrument is the instrument of a FitQuestion. Its flow is the one figure of the manual, or the rate of its pump.
type FitInstrument struct {
	Sampling Sampling `json:"sampling"`
	FlowLMin *float64 `json:"flow_l_min"`
}

// FitAnswer gives in one word each what stands against a set, stops and asks alike, and beside them the findings.
type FitAnswer struct {
	OK       bool              `json:"ok"`
	Reasons  []string          `json:"reasons"`
	Findings []problem.Finding `json:"findings"`
}

// Reasons lists the words of a FitAnswer.
func Reasons() []string {
	return []string{"demand_needs_pump", "flow_high", "flow_low", "outlet", "pressure_rating", "regulator_material", "tubing_length", "tubing_material"}
}

// The modes of a FitQuestion's regulator.
const (
	fixedFlow  = "fixed"
	demandFlow = "demand"
)

// calculatorPolicy are the defaults of the rules; a calculator knows no site.
var calculatorPolicy = Policy{FlowPct: 10, PumpMargin: 1.1, RatingMargin: 1.01}

// CalcFit answers by rules R21 to R24.
func CalcFit(q FitQuestion) (FitAnswer, error) {
	sheet := fitSheet{}
	bottle, set, instruments := sheet.bottle(q.Cylinder), Set{sheet.regulator(q.Regulator), sheet.tubing(q.Tubing), nil}, sheet.instruments(q)
	if err := sheet.wrong.Err(); err != nil {
		return FitAnswer{}, err
	}
	faults := fittings(Test{Purpose: Calibration}, bottle, set, instruments, calculatorPolicy)
	reasons := []string{}
	for _, f := range faults {
		if f.reason != "" {
			reasons = append(reasons, f.reason)
		}
	}
	slices.Sort(reasons)
	reasons = slices.Compact(reasons)
	return FitAnswer{OK: len(reasons) == 0, Reasons: reasons, Findings: problem.Sort(append([]problem.Finding{}, findings(faults)...))}, nil
}

// fitSheet reads a question and notes every wrong field of it.
type fitSheet struct{ wrong problem.Fields }

const (
	mostComponents = 50
	longestName    = 60
)

func (s *fitSheet) bottle(c FitCylinder) Bottle {
	b := Bottle{Outlet: s.outlet("cylinder.outlet", c.Outlet), FillBar: s.number("cylinder.fill_bar", c.FillBar, 0.001, 1000, "bar")}
	if n := len(c.Components); n == 0 || n > mostComponents {
		s.wrong.Add("cylinder.components", fmt.Sprintf("there are %d components", n), fmt.Sprintf("name 1 to %d, the balance included", mostComponents))
	}
	for i, formula := range c.Components {
		if len(formula) == 0 || len(formula) > longestName {
			s.wrong.Add(fmt.Sprintf("cylinder.components.%d", i), "it is not the name of a component", "write its formula, such as H2S")
		}
		b.Parts = append(b.Parts, Part{Component: formula, Formula: formula})
	}
	return b
}

func (s *fitSheet) regulator(r FitRegulator) *Regulator {
	s.oneOf("regulator.mode", r.Mode, fixedFlow, demandFlow)
	regulator := Regulator{
		Inlet: s.outlet("regulator.inlet", r.Inlet), MaxBar: s.number("regulator.max_bar", r.MaxBar, 0.001, 1000, "bar"),
		Demand: r.Mode == demandFlow, Flow: s.flow("regulator.flow_l_min", r.FlowLMin, r.Mode == fixedFlow), Vented: r.Vented, Body: s.word("regulator.body", r.Body),
	}
	if a := r.Adapter; a != nil {
		regulator.Adapter = &Adapter{
			From: s.outlet("regulator.adapter.from", a.From), To: s.outlet("regulator.adapter.to", a.To), MaxBar: s.number("regulator.adapter.max_bar", a.MaxBar, 0.001, 1000, "bar"),
		}
	}
	return &regulator
}

func (s *fitSheet) tubing(x *FitTubing) *Tubing {
	if x == nil {
		return nil
	}
	metres := s.number("tubing.length_m", x.LengthM, 0, 1000, "m")
	return &Tubing{Material: s.word("tubing.material", x.Material), Length: unit.Length(math.Ceil(metres * 1000 * (1 - slack)))}
}

func (s *fitSheet) instruments(q FitQuestion) []Instruments {
	i := q.Instrument
	if i == nil {
		return nil
	}
	s.oneOf("instrument.sampling", string(i.Sampling), string(Diffusion), string(Pumped))
	flow := s.flow("instrument.flow_l_min", i.FlowLMin, q.Regulator.Mode == fixedFlow)
	return []Instruments{{Sampling: i.Sampling, FlowOne: flow, PumpFlow: flow}}
}

func (s *fitSheet) outlet(field, text string) Outlet {
	o, err := ParseOutlet(text)
	s.wrong.Take(field, err)
	return o
}

func (s *fitSheet) flow(field string, litres *float64, needed bool) unit.Flow {
	if litres == nil {
		if needed {
			s.wrong.Add(field, "there is no flow to compare", "give it in L/min")
		}
		return 0
	}
	return unit.Flow(math.Round(s.number(field, *litres, 0.001, 100, "L/min") * 1000))
}

func (s *fitSheet) number(field string, f, least, most float64, name string) float64 {
	if !(f >= least && f <= most) {
		s.wrong.Add(field, fmt.Sprintf("%g %s is out of range", f, name), fmt.Sprintf("give %g to %g %s", least, most, name))
	}
	return f
}

func (s *fitSheet) oneOf(field, text string, words ...string) {
	if !slices.Contains(words, text) {
		s.wrong.Add(field, fmt.Sprintf("%.40q is not known here", text), "choose "+oneOf(words))
	}
}

func (s *fitSheet) word(field, text string) string {
	if len(text) > longestName {
		s.wrong.Add(field, "it is too long a text", "write the material, such as stainless or PTFE")
	}
	return text
}

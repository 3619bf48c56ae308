package fit

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/problem"
)

func TestFitCases(t *testing.T) {
	data, err := os.ReadFile("../../testdata/fit/fit.json")
	if err != nil {
		t.Fatal(err)
	}
	var rows []struct {
		ID   string
		In   json.RawMessage
		Want struct {
			OK      bool
			Reasons []string
		}
	}
	if err := json.Unmarshal(data, &rows); err != nil || len(rows) == 0 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for _, row := range rows {
		var question FitQuestion
		decoder := json.NewDecoder(bytes.NewReader(row.In))
		decoder.DisallowUnknownFields()
		if err := decoder.Decode(&question); err != nil {
			t.Fatalf("%s: %v", row.ID, err)
		}
		answer, err := CalcFit(question)
		if err != nil || answer.OK != row.Want.OK || !slices.Equal(answer.Reasons, row.Want.Reasons) {
			t.Errorf("%s: %v %q, %v; want %v %q", row.ID, answer.OK, answer.Reasons, err, row.Want.OK, row.Want.Reasons)
		}
		if worst := problem.Worst(answer.Findings); answer.OK != (worst == "") {
			t.Errorf("%s: ok is %v, and the worst is %q", row.ID, answer.OK, worst)
		}
	}
}

func litresPerMinute(f float64) *float64 { return &f }

// good is a question against which nothing stands.
func good() FitQuestion {
	return FitQuestion{
		Cylinder:   FitCylinder{Outlet: "C-10", Components: []string{"CH4", "O2", "CO", "H2S"}, FillBar: 69},
		Regulator:  FitRegulator{Inlet: "C-10", MaxBar: 103, Mode: "fixed", FlowLMin: litresPerMinute(0.4), Body: "stainless"},
		Tubing:     &FitTubing{"FEP", 0.6},
		Instrument: &FitInstrument{Diffusion, litresPerMinute(0.4)},
	}
}

func TestCalculator(t *testing.T) {
	pump := func(q *FitQuestion, fixed, rate float64) {
		q.Regulator.FlowLMin, q.Instrument = litresPerMinute(fixed), &FitInstrument{Pumped, litresPerMinute(rate)}
	}
	for name, c := range map[string]struct {
		change func(*FitQuestion)
		want   string
	}{
		"nothing":                {func(*FitQuestion) {}, ""},
		"a bare number is CGA's": {func(q *FitQuestion) { q.Cylinder.Outlet, q.Regulator.Inlet = "CGA 600", " 600 " }, ""},
		"a number is not DIN's":  {func(q *FitQuestion) { q.Cylinder.Outlet, q.Regulator.Inlet = "DIN 477 10", "590" }, "outlet"},
		"DIN":                    {func(q *FitQuestion) { q.Cylinder.Outlet, q.Regulator.Inlet = "DIN 477 14", "din 477-1 nr. 14" }, ""},
		"BS and DIN differ":      {func(q *FitQuestion) { q.Cylinder.Outlet, q.Regulator.Inlet = "BS 341 14", "DIN 477 14" }, "outlet"},
		"0.9 of the flow":        {func(q *FitQuestion) { q.Regulator.FlowLMin = litresPerMinute(0.36) }, ""},
		"1.1 of the flow":        {func(q *FitQuestion) { q.Regulator.FlowLMin = litresPerMinute(0.44) }, ""},
		"under the flow":         {func(q *FitQuestion) { q.Regulator.FlowLMin = litresPerMinute(0.359) }, "flow_low"},
		"over the flow":          {func(q *FitQuestion) { q.Regulator.FlowLMin = litresPerMinute(0.441) }, "flow_high"},
		"1.1 × the pump":         {func(q *FitQuestion) { pump(q, 0.33, 0.3); q.Regulator.Vented = true }, ""},
		"1.1 × the pump, no tee": {func(q *FitQuestion) { pump(q, 0.33, 0.3) }, "flow_high"},
		"short of the pump":      {func(q *FitQuestion) { pump(q, 0.329, 0.3); q.Regulator.Vented = true }, "flow_low"},
		"demand, and no flows at all": {func(q *FitQuestion) {
			q.Regulator.Mode, q.Regulator.FlowLMin, q.Instrument = "demand", nil, &FitInstrument{Sampling: Pumped}
		}, ""},
		"demand, diffusion, no flows": {func(q *FitQuestion) {
			q.Regulator.Mode, q.Regulator.FlowLMin, q.Instrument.FlowLMin = "demand", nil, nil
		}, "demand_needs_pump"},
		"2 m":                     {func(q *FitQuestion) { q.Tubing.LengthM = 2 }, ""},
		"a hair above 2 m":        {func(q *FitQuestion) { q.Tubing.LengthM = 2.0001 }, "tubing_length"},
		"no tubing":               {func(q *FitQuestion) { q.Tubing = nil }, ""},
		"no instrument":           {func(q *FitQuestion) { q.Instrument = nil }, ""},
		"doubtful tubing":         {func(q *FitQuestion) { q.Tubing.Material = "PVC" }, "tubing_material"},
		"a body that nobody said": {func(q *FitQuestion) { q.Regulator.Body = "" }, "regulator_material"},
		"a gas without a row":     {func(q *FitQuestion) { q.Cylinder.Components = []string{"COS", "N2"} }, "regulator_material tubing_material"},
		"everything at once, each once": {func(q *FitQuestion) {
			*q = FitQuestion{FitCylinder{"600", []string{"Cl2", "NH3", "N2"}, 100}, FitRegulator{"660", 50, "fixed", litresPerMinute(3), "brass", false, nil}, &FitTubing{"PVC", 3}, q.Instrument}
		}, "flow_high outlet pressure_rating regulator_material tubing_length tubing_material"},
	} {
		q := good()
		c.change(&q)
		answer, err := CalcFit(q)
		if err != nil || strings.Join(answer.Reasons, " ") != c.want || answer.OK != (c.want == "") || answer.Findings == nil {
			t.Errorf("%s: got %+v, %v; want %q", name, answer, err, c.want)
		}
		for _, reason := range answer.Reasons {
			if !slices.Contains(Reasons(), reason) {
				t.Errorf("%s: %q is on no list", name, reason)
			}
		}
	}
}

func TestWrongQuestions(t *testing.T) {
	for field, change := range map[string]func(*FitQuestion){
		"cylinder.outlet":            func(q *FitQuestion) { q.Cylinder.Outlet = "home-made" },
		"cylinder.components":        func(q *FitQuestion) { q.Cylinder.Components = nil },
		"cylinder.components.1":      func(q *FitQuestion) { q.Cylinder.Components[1] = "" },
		"cylinder.fill_bar":          func(q *FitQuestion) { q.Cylinder.FillBar = -69 },
		"regulator.inlet":            func(q *FitQuestion) { q.Regulator.Inlet = "14" },
		"regulator.max_bar":          func(q *FitQuestion) { q.Regulator.MaxBar = 0 },
		"regulator.mode":             func(q *FitQuestion) { q.Regulator.Mode = "turbo" },
		"regulator.flow_l_min":       func(q *FitQuestion) { q.Regulator.FlowLMin = nil },
		"regulator.body":             func(q *FitQuestion) { q.Regulator.Body = strings.Repeat("x", 61) },
		"regulator.adapter.from":     func(q *FitQuestion) { q.Regulator.Adapter = &FitAdapter{"", "600", 69} },
		"regulator.adapter.to":       func(q *FitQuestion) { q.Regulator.Adapter = &FitAdapter{"600", "pipe", 69} },
		"regulator.adapter.max_bar":  func(q *FitQuestion) { q.Regulator.Adapter = &FitAdapter{"C-10", "600", 0} },
		"tubing.length_m":            func(q *FitQuestion) { q.Tubing.LengthM = -1 },
		"tubing.material":            func(q *FitQuestion) { q.Tubing.Material = strings.Repeat("x", 61) },
		"instrument.sampling":        func(q *FitQuestion) { q.Instrument.Sampling = "sniffed" },
		"instrument.flow_l_min":      func(q *FitQuestion) { q.Instrument.FlowLMin = litresPerMinute(-0.4) },
		"instrument.flow_l_min none": func(q *FitQuestion) { q.Instrument.FlowLMin = nil },
	} {
		q := good()
		change(&q)
		_, err := CalcFit(q)
		var e *problem.Error
		if !errors.As(err, &e) || e.Kind != problem.Invalid || len(e.Fields) != 1 || e.Fields[0].Name != strings.TrimSuffix(field, " none") || e.Fields[0].Advice == "" {
			t.Errorf("%s: %#v", field, err)
		}
	}
	var e *problem.Error
	if _, err := CalcFit(FitQuestion{}); !errors.As(err, &e) || len(e.Fields) < 5 {
		t.Errorf("an empty question: %v", err)
	}
}

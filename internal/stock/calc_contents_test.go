package stock

import (
	"fmt"
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store/storetest"
)

// A full one of 1 L at 69 bar and 21 °C has 67.0 usable litres above 2.0 bar, as the rules have it (R10).
func TestContentsAndTestsLeft(t *testing.T) {
	h := settle(t, storetest.New(t))
	full := ContentsQuestion{Item: "Q4", Pressure: "69 bar", Temperature: "21 C", Flow: "1 L/min", Time: "60 s"}
	for name, c := range map[string]struct {
		change func(*ContentsQuestion)
		want   string
	}{
		"as the item is":              {func(*ContentsQuestion) {}, "70.0 usable 67.0 (63.6 to 70.4) above 2.0, heel 2.98 of 70.0: about 67 tests (at least 58, at most 75)"},
		"a blend in a size":           {func(q *ContentsQuestion) { q.Item, q.Blend, q.WaterVolume = "", "Q4", "1700 mL" }, "119.0 usable 105.7 (100.0 to 111.3) above 6.9, heel 13.31 of 0.0: about 105 tests (at least 92, at most 119)"},
		"the size as typed":           {func(q *ContentsQuestion) { q.WaterVolume = "2 L" }, "140.0 usable 134.0 (127.2 to 140.8) above 2.0, heel 5.95 of 140.0: about 134 tests (at least 116, at most 151)"},
		"in another unit":             {func(q *ContentsQuestion) { q.Pressure = "1000.76 psi" }, "70.0 usable 67.0 (63.6 to 70.4) above 2.0, heel 2.98 of 70.0: about 67 tests (at least 58, at most 75)"},
		"after a purge":               {func(q *ContentsQuestion) { q.Purge = "5 L" }, "70.0 usable 67.0 (63.6 to 70.4) above 2.0, heel 2.98 of 70.0: about 62 tests (at least 54, at most 70)"},
		"nobody took the temperature": {func(q *ContentsQuestion) { q.Temperature = "" }, "70.0 usable 67.0 (62.5 to 71.5) above 2.0, heel 2.98 of 70.0: about 67 tests (at least 57, at most 76)"},
		"in the cold":                 {func(q *ContentsQuestion) { q.Temperature = "cold" }, "75.5 usable 72.3 (68.6 to 76.0) above 2.0, heel 3.17 of 70.0: about 72 tests (at least 63, at most 81)"},
		"a better gauge":              {func(q *ContentsQuestion) { q.Gauge = "digital" }, "70.0 usable 67.0 (65.1 to 68.9) above 2.0, heel 2.98 of 70.0: about 67 tests (at least 58, at most 75)"},
		"a higher minimum pressure":   {func(q *ContentsQuestion) { q.MinimumPressure = "10 bar" }, "70.0 usable 59.1 (55.8 to 62.4) above 10.0, heel 10.91 of 70.0: about 59 tests (at least 51, at most 66)"},
		"bump tests":                  {func(q *ContentsQuestion) { q.Purpose = Bump }, "70.0 usable 67.0 (63.6 to 70.4) above 2.0, heel 2.98 of 70.0: about 67 bumps (at least 58, at most 75)"},
		"at the minimum pressure":     {func(q *ContentsQuestion) { q.Pressure = "2 bar" }, "3.0 usable 0.0 (0.0 to 0.0) above 2.0, heel 2.98 of 70.0 R10"},
		"no test is described":        {func(q *ContentsQuestion) { q.Flow, q.Time = "", "" }, "70.0 usable 67.0 (63.6 to 70.4) above 2.0, heel 2.98 of 70.0"},
		"one test":                    {func(q *ContentsQuestion) { q.Time = "40 min" }, "70.0 usable 67.0 (63.6 to 70.4) above 2.0, heel 2.98 of 70.0: about 1 test (at least 1, at most 1)"},
	} {
		q := full
		c.change(&q)
		a, err := h.CalculateContents(h.ctx(), q)
		if err != nil {
			t.Fatalf("%s: %s", name, err)
		}
		got := fmt.Sprintf("%.1f usable %.1f (%.1f to %.1f) above %.1f, heel %.2f of %.1f", a.ContentL, a.UsableL, a.UsableLowL, a.UsableHighL, a.Cutoff.Bar, a.HeelL, a.FullL)
		if a.Tests != nil {
			got += ": " + a.Tests.Count() + " " + a.Tests.Interval()
		}
		for _, f := range a.Findings {
			got += " " + f.Rule
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

func TestContentsOfWhatPressureDoesNotTell(t *testing.T) {
	h := settle(t, storetest.New(t))
	h.make(
		&catalogue.Component{Code: "MYST", Name: "mystery gas"},
		&catalogue.Blend{Code: "PROPANE", Balance: "C3H8"},
		&catalogue.Blend{Code: "MYST", Balance: "N2", Components: []catalogue.BlendPart{{Component: "MYST", Amount: "5 %vol"}}},
		&catalogue.Blend{Code: "PENTANE", Balance: "air", Components: []catalogue.BlendPart{{Component: "nC5H12", Amount: "0.7 %vol"}}},
	)
	for blend, want := range map[string]string{"PROPANE": "C3H8 may be liquid", "MYST": "no critical constants for MYST"} {
		a, err := h.CalculateContents(h.ctx(), ContentsQuestion{Blend: blend, WaterVolume: "1 L", Pressure: "8 bar", Temperature: "15 C", Flow: "1 L/min", Time: "60 s"})
		if err != nil || !a.Refused || !strings.Contains(a.Reason, want) || !strings.Contains(a.Advice, "weigh it") || a.Tests != nil || a.ContentL != 0 {
			t.Errorf("%s: %+v, %v", blend, a, err)
		}
	}
	a, err := h.CalculateContents(h.ctx(), ContentsQuestion{Blend: "PENTANE", WaterVolume: "1 L", Pressure: "60 bar", Temperature: "-5 C"})
	if err != nil || a.Refused || len(a.Findings) != 1 || a.Findings[0].Rule != "R14b" || a.Findings[0].Subject != "nC5H12" {
		t.Errorf("pentane in the cold: %+v, %v", a, err)
	}
}

func TestContentsQuestionsThatAreWrong(t *testing.T) {
	h := settle(t, storetest.New(t))
	h.make(&catalogue.Item{Code: "TUBE", Kind: "tubing"})
	for name, c := range map[string]struct {
		q    ContentsQuestion
		want []string
	}{
		"nothing is said": {ContentsQuestion{}, []string{"item: it is not said which gas", "pressure: the pressure is not given", "water_volume: the water volume is not given"}},
		"no such things":  {ContentsQuestion{Item: "Q9", Blend: "q4", Pressure: "6 bar", Gauge: "new"}, []string{`item: there is no item "Q9"`, `blend: there is no blend "q4"`, `gauge: there is no gauge "new"`}},
		"two gases":       {ContentsQuestion{Item: "Q4", Blend: "CL", Pressure: "6 bar"}, []string{"blend: item Q4 is not filled with CL"}},
		"not gas":         {ContentsQuestion{Item: "TUBE", WaterVolume: "1 L", Pressure: "6 bar"}, []string{"item: TUBE is not gas"}},
		"no units": {ContentsQuestion{Item: "Q4", WaterVolume: "1", Pressure: "69", Temperature: "warm", MinimumPressure: "2", Flow: "1", Time: "2", Purge: "3", Purpose: "fun"}, []string{
			`water_volume: "1" has no unit`, `pressure: "69" has no unit`, `temperature: "warm" is not a temperature`, `minimum_pressure: "2" has no unit`, `flow: "1" has no unit`, `time: "2" has no unit`, `purge: "3" has no unit`, `purpose: "fun" is not known here`}},
		"half a test":  {ContentsQuestion{Item: "Q4", Pressure: "69 bar", Flow: "1 L/min"}, []string{"time: the time of one test is not given"}},
		"a wrong unit": {ContentsQuestion{Item: "Q4", Pressure: "1000 bar"}, []string{"pressure: 1000 bar is above 75."}},
		"out of range": {ContentsQuestion{Blend: "Q4", WaterVolume: "1 L", Pressure: "400 bar", Flow: "0 L/min", Time: "0 s"}, []string{"pressure: 400 bar makes no sense", "flow: 0 L/min makes no sense", "time: 0 min makes no sense"}},
	} {
		_, err := h.CalculateContents(h.ctx(), c.q)
		if problem.KindOf(err) != problem.Invalid {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, want := range c.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %q does not say %q", name, err, want)
			}
		}
	}
}

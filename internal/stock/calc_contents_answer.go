package stock

import (
	"cmp"
	"fmt"

	"spanroom/internal/catalogue"
	"spanroom/internal/gas"
	"spanroom/internal/problem"
)

// ContentsAnswer is what is in a cylinder, what of it can be used, and how many tests that gives, each with its k = 2 interval;
// where pressure does not tell there is a refusal and no figure.
type ContentsAnswer struct {
	gas.Refusal
	Gas           string
	Components    []string // in words, the balance last
	WaterL        float64
	PressureBar   float64
	TemperatureC  *float64 // nil where nobody took it: then 21 °C with a wider limit
	LimitK        float64  // of error, of the temperature
	Gauge         string
	GaugeLimitBar float64
	Cutoff        Cutoff
	Reference     string // condition at which litres are counted
	ContentL      float64
	UsableL       float64
	UsableLowL    float64
	UsableHighL   float64
	HeelL         float64 // stays below the cut-off
	FullL         float64 // of a full one of the item; 0 where none is named
	TestL         float64 // what one test takes; 0 where none is described
	PurgeL        float64
	Tests         *CountedTests
	Findings      []problem.Finding
}

// CountedTests is how many tests are left, with the ends of the interval. One is never said without the other.
type CountedTests struct {
	Expected, Low, High int
	Word                string // what the tests are, for so many of them
}

// Count says how many: "about 66 tests".
func (c CountedTests) Count() string { return fmt.Sprintf("about %d %s", c.Expected, c.Word) }

// Interval says how sure that is: "(at least 58, at most 70)".
func (c CountedTests) Interval() string {
	return fmt.Sprintf("(at least %d, at most %d)", c.Low, c.High)
}

func (s contentsSheet) answer() ContentsAnswer {
	a := ContentsAnswer{
		Gas: s.name, Components: s.words(), WaterL: s.WaterL, PressureBar: s.GaugeBar, LimitK: s.TemperatureLimitK, Gauge: s.gauge, GaugeLimitBar: s.GaugeLimitBar,
		Cutoff: Cutoff{s.cutoff.bar, s.cutoff.why}, Reference: s.settings.Reference, PurgeL: s.purgeL,
	}
	if s.temperature != 0 {
		celsius := s.temperature.Celsius()
		a.TemperatureC = &celsius
	}
	if s.draw != nil {
		a.TestL = tidy(s.draw.FlowLMin * s.draw.Minutes)
	}
	content, usable, err := s.litres()
	if err != nil {
		a.Refusal = refusalOf(err)
		return a
	}
	a.ContentL, a.UsableL, a.UsableLowL, a.UsableHighL = content, usable.Litres, usable.Low, usable.High
	a.HeelL, a.FullL, a.Findings = content-usable.Litres, s.full(), s.cold()
	if usable.BelowHeel {
		a.Findings = append(a.Findings, s.belowCutoff())
		return a
	}
	if s.draw != nil {
		a.Tests = s.count(without(usable, s.purgeL).Tests(*s.draw))
	}
	return a
}

func (s contentsSheet) litres() (content float64, usable gas.Usable, err error) {
	if s.unmixed != nil {
		return 0, gas.Usable{}, s.unmixed
	}
	content, err = s.FreeLitres()
	if err == nil {
		usable, err = s.Usable()
	}
	return content, usable, err
}

// full is the content of a full one of the item in this size, or 0.
func (s contentsSheet) full() float64 {
	if s.item.FillPressure == 0 {
		return 0
	}
	full := s.Content
	full.GaugeBar, full.Kelvin = s.item.FillPressure.Bar(), referenceKelvin
	litres, err := full.FreeLitres()
	if err != nil {
		return 0 // full it may be liquid; the bar is then as long as what is there
	}
	return litres
}

func (s contentsSheet) count(tests gas.Tests) *CountedTests {
	word := "tests"
	if s.purpose != "" {
		word = s.purpose.word()
	}
	if tests.Expected == 1 {
		word = word[:len(word)-1]
	}
	return &CountedTests{tests.Expected, tests.Low, tests.High, word}
}

// belowCutoff says that nothing is left to use (R10).
func (s contentsSheet) belowCutoff() problem.Finding {
	return problem.Finding{
		Rule: "R10", Severity: problem.Stop, Subject: cmp.Or(s.name, "the cylinder"),
		Text:   fmt.Sprintf("%.1f bar is at or below the least usable pressure, %.1f bar (%s)", s.GaugeBar, s.cutoff.bar, s.cutoff.why),
		Advice: "take another one; this one is spent for this purpose",
	}
}

// cold notes the component that may have condensed out at this temperature (R14b).
func (s contentsSheet) cold() []problem.Finding {
	risks, err := gas.ColdRisk(catalogue.MixOf(s.parts), s.GaugeBar, s.Kelvin, s.settings.ColdFraction)
	if err != nil || len(risks) == 0 {
		return nil
	}
	r := risks[0]
	return []problem.Finding{{
		Rule: "R14b", Severity: problem.Note, Subject: r.Component,
		Text: fmt.Sprintf("at %.0f °C its %.2f bar are near its saturation pressure of %.2f bar: some of it may be liquid, the first gas lean and the last rich",
			s.Kelvin-273.15, r.PartialBar, r.SaturationBar),
		Advice: fmt.Sprintf("keep the cylinder above %.0f °C for %d h and roll it before a calibration", s.settings.WarmC, s.settings.WarmHours),
	}}
}

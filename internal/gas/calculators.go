package gas

import (
	"cmp"
	"errors"

	"spanroom/internal/problem"
)

// The calculators put the room's questions and answers into the words of their JSON. What physics refuses is an
// answer; what is wrong with the question is an error with its fields.

// Refusal says why a calculator gives no value, and what to do instead.
type Refusal struct {
	Refused bool   `json:"refused"`
	Reason  string `json:"reason,omitempty"`
	Advice  string `json:"advice,omitempty"`
}

// refuse turns a refusal into an answer and leaves every other error as it is.
func refuse(err error) (Refusal, error) {
	var e *problem.Error
	if errors.As(err, &e) && e.Kind == problem.Refused {
		return Refusal{Refused: true, Reason: e.Detail, Advice: e.Advice}, nil
	}
	return Refusal{}, err
}

// ZQuestion asks for the real-gas factor of a composition.
type ZQuestion struct {
	Composition    Mix     `json:"composition"`
	TemperatureK   float64 `json:"temperature_k"`
	PressureBarAbs float64 `json:"pressure_bar_abs"`
}

// ZAnswer gives the factor, or why there is none.
type ZAnswer struct {
	Refusal
	Z *float64 `json:"z"`
}

// CalcZ answers a ZQuestion. It does not look for liquid.
func CalcZ(q ZQuestion) (ZAnswer, error) {
	var wrong problem.Fields
	mixture, err := mixtureOf(q.Composition, &wrong)
	kelvins.check(&wrong, "temperature_k", q.TemperatureK)
	bars.check(&wrong, "pressure_bar_abs", q.PressureBarAbs)
	var z float64
	if err = cmp.Or(wrong.Err(), err); err == nil {
		z, err = mixture.At(q.TemperatureK).Z(q.PressureBarAbs)
	}
	refused, err := refuse(err)
	return ZAnswer{Refusal: refused, Z: unless(refused, z)}, err
}

// ContentsQuestion asks how many litres a cylinder holds.
type ContentsQuestion struct {
	Composition    Mix     `json:"composition"`
	WaterVolumeL   float64 `json:"water_volume_l"`
	GaugeBar       float64 `json:"gauge_bar"`
	TemperatureK   float64 `json:"temperature_k"`
	AtmosphericBar float64 `json:"atmospheric_bar"`
	Reference      string  `json:"reference"`
}

// ContentsAnswer gives the litres at the reference condition, or why pressure does not tell.
type ContentsAnswer struct {
	Refusal
	FreeLitres *float64 `json:"free_litres"`
}

// CalcContents answers a ContentsQuestion.
func CalcContents(q ContentsQuestion) (ContentsAnswer, error) {
	var wrong problem.Fields
	mixture, err := mixtureOf(q.Composition, &wrong)
	content := Content{mixture, q.WaterVolumeL, q.GaugeBar, q.TemperatureK, q.AtmosphericBar, referenceOf(q.Reference, &wrong)}
	content.checkNumbers(&wrong)
	var litres float64
	if err = cmp.Or(wrong.Err(), err); err == nil {
		litres, err = content.FreeLitres()
	}
	refused, err := refuse(err)
	return ContentsAnswer{Refusal: refused, FreeLitres: unless(refused, litres)}, err
}

// CondensationQuestion asks whether a component is past its dew limit at this temperature.
type CondensationQuestion struct {
	Component    string  `json:"component"`
	Fraction     float64 `json:"fraction"`
	GaugeBar     float64 `json:"gauge_bar"`
	TemperatureK float64 `json:"temperature_k"`
}

// CondensationAnswer gives the risk, or why it is not known.
type CondensationAnswer struct {
	Refusal
	Risk *bool `json:"risk"`
}

// CalcCondensation answers a CondensationQuestion.
func CalcCondensation(q CondensationQuestion) (CondensationAnswer, error) {
	risk, err := Condensation(q.Component, q.Fraction, q.GaugeBar, q.TemperatureK)
	refused, err := refuse(err)
	return CondensationAnswer{Refusal: refused, Risk: unless(refused, risk)}, err
}

// mixtureOf notes what is wrong with a composition; a refusal is handed back, so that wrong fields come before it.
func mixtureOf(mix Mix, wrong *problem.Fields) (*Mixture, error) {
	mixture, err := NewMixture(mix)
	if problem.KindOf(err) == problem.Invalid {
		wrong.Take("composition", err)
		return nil, nil
	}
	return mixture, err
}

func referenceOf(text string, wrong *problem.Fields) Reference {
	ref, err := ParseReference(text)
	wrong.Take("reference", err)
	return ref
}

// unless gives no value beside a refusal.
func unless[T any](r Refusal, value T) *T {
	if r.Refused {
		return nil
	}
	return &value
}

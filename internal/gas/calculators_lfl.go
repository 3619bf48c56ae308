package gas

import "slices"

// LFLQuestion asks for the lower limit in air of a mixture: amount fractions, the lower limits of what burns as fractions, and K
// of what does not.
type LFLQuestion struct {
	Composition Mix                 `json:"composition"`
	LFLFraction map[string]*float64 `json:"lfl_fraction"`
	InertK      map[string]*float64 `json:"inert_k"`
}

// LFLAnswer gives the fraction of the mixture in air from which it burns, or why there is none. Above 1 it has no limit in air.
type LFLAnswer struct {
	Refusal
	MixtureLFLFraction *float64 `json:"mixture_lfl_fraction"`
	LimitInAir         *bool    `json:"limit_in_air"`
	Sentence           string   `json:"sentence,omitempty"`
	Basis              string   `json:"basis"`
}

const lflBasis = "ISO 10156:2017, on the lower limits as given"

// oxidisers bring what a flame needs with them.
var oxidisers = []string{"O2", "air", "N2O", "NO", "NO2", "Cl2"}

// CalcLFL answers an LFLQuestion.
func CalcLFL(q LFLQuestion) (LFLAnswer, error) {
	limit, err := Fuel{q.Composition, q.LFLFraction, q.InertK}.LowerLimit()
	refused, err := refuse(err)
	if err != nil {
		return LFLAnswer{}, err
	}
	answer := LFLAnswer{Refusal: refused, MixtureLFLFraction: unless(refused, limit.Fraction), LimitInAir: unless(refused, limit.Fraction <= 1), Basis: lflBasis}
	if !refused.Refused {
		answer.Sentence = limit.sentence(q.Composition)
	}
	return answer, nil
}

func (l FuelLimit) sentence(mix Mix) string {
	text := "by this formula the mixture burns in air from " + figure(100*l.Fraction, 3) + " %vol of it"
	if l.Fraction > 1 {
		text = "by this formula the mixture has no lower limit in air"
	}
	if l.Stretched {
		text += "; with so much inert gas the formula is only a hint"
	}
	if slices.ContainsFunc(oxidisers, func(name string) bool { return mix[name] > 0 }) {
		text += "; it holds an oxidising gas, and whether it burns by itself is another question"
	}
	return text + "; this is not the transport classification"
}

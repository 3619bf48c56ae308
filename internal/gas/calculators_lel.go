package gas

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"spanroom/internal/problem"
)

var (
	volPercents = span{0, 100, "%vol"}
	lelPercents = span{0, 12_500, "%LEL"} // 100 %vol of the gas with the lowest limit
	factors     = span{0.01, 100, ""}
)

// LELQuestion asks for %LEL or %vol of a gas, for the same amount on another basis (in %vol, or in %LEL on the first one), or for
// what a channel must show for a surrogate gas. Factor is the %LEL to show for 1 %LEL of the surrogate, by the instrument's manual.
type LELQuestion struct {
	Kind            string   `json:"kind"`
	Gas             string   `json:"gas"`
	VolPct          *float64 `json:"vol_pct"`
	LELPct          *float64 `json:"lel_pct"`
	Basis           Basis    `json:"basis"`
	FromBasis       Basis    `json:"from_basis"`
	ToBasis         Basis    `json:"to_basis"`
	Target          string   `json:"target"`
	Surrogate       string   `json:"surrogate"`
	SurrogateVolPct *float64 `json:"surrogate_vol_pct"`
	Factor          *float64 `json:"factor"`
}

// LELAnswer gives what the kind asks for, always with its basis, or why there is no figure.
type LELAnswer struct {
	Refusal
	LELPct         *float64 `json:"lel_pct"`
	VolPct         *float64 `json:"vol_pct"`
	FromLELPct     *float64 `json:"from_lel_pct"`
	ToLELPct       *float64 `json:"to_lel_pct"`
	SetValueLELPct *float64 `json:"set_value_lel_pct"`
	Basis          Basis    `json:"basis"`
	FromBasis      Basis    `json:"from_basis,omitempty"`
	Sentence       string   `json:"sentence,omitempty"`
	Source         string   `json:"source,omitempty"`
}

var lelKinds = map[string]func(*lelSheet) LELAnswer{
	"to_lel":       (*lelSheet).toLEL,
	"to_vol":       (*lelSheet).toVol,
	"change_basis": (*lelSheet).changeBasis,
	"surrogate":    (*lelSheet).surrogate,
}

// LELKinds lists what can be asked.
func LELKinds() []string { return slices.Sorted(maps.Keys(lelKinds)) }

// CalcLEL answers a LELQuestion. What the person may not know, a basis or a factor, is refused and never assumed.
func CalcLEL(q LELQuestion) (LELAnswer, error) {
	work, ok := lelKinds[q.Kind]
	if !ok {
		var wrong problem.Fields
		wrong.Add("kind", fmt.Sprintf("%.40q is not a kind", q.Kind), "choose one of "+strings.Join(LELKinds(), ", "))
		return LELAnswer{}, wrong.Err()
	}
	sheet := &lelSheet{q: q}
	answer := work(sheet)
	refused, err := refuse(cmp.Or(sheet.wrong.Err(), sheet.refused))
	if err != nil {
		return LELAnswer{}, err
	}
	if refused.Refused {
		return LELAnswer{Refusal: refused, Basis: answer.Basis, FromBasis: answer.FromBasis}, nil
	}
	answer.Source = lowerLimits().source
	return answer, nil
}

func (s *lelSheet) toLEL() LELAnswer {
	q := s.q
	limit, vol := s.limit("gas", q.Gas, "basis", q.Basis), s.number("vol_pct", q.VolPct, volPercents)
	lel := ToLEL(vol, limit)
	return LELAnswer{VolPct: &vol, LELPct: &lel, Basis: q.Basis, Sentence: conversion(vol, lel, limit, q)}
}

func (s *lelSheet) toVol() LELAnswer {
	q := s.q
	limit := s.limit("gas", q.Gas, "basis", q.Basis)
	lel, vol := s.volume(limit)
	return LELAnswer{VolPct: &vol, LELPct: &lel, Basis: q.Basis, Sentence: conversion(vol, lel, limit, q)}
}

func conversion(vol, lel, limit float64, q LELQuestion) string {
	return fmt.Sprintf("%s %%vol %s is %s %%LEL on %s, where 100 %%LEL is %g %%vol", figure(vol, 4), gasName(q.Gas), figure(lel, 1), q.Basis, limit)
}

func (s *lelSheet) changeBasis() LELAnswer {
	q := s.q
	from, to := s.limit("gas", q.Gas, "from_basis", q.FromBasis), s.limit("gas", q.Gas, "to_basis", q.ToBasis)
	var before, vol float64
	if q.VolPct == nil && q.LELPct != nil {
		before, vol = s.volume(from)
	} else {
		vol = s.number("vol_pct", q.VolPct, volPercents)
		before = ToLEL(vol, from)
	}
	after := ChangeBasis(before, from, to)
	return LELAnswer{VolPct: &vol, FromLELPct: &before, ToLELPct: &after, Basis: q.ToBasis, FromBasis: q.FromBasis,
		Sentence: fmt.Sprintf("%s %%vol %s is %s %%LEL on %s (100 %%LEL is %g %%vol) and %s %%LEL on %s (%g %%vol)",
			figure(vol, 4), gasName(q.Gas), figure(before, 1), q.FromBasis, from, figure(after, 1), q.ToBasis, to)}
}

func (s *lelSheet) surrogate() LELAnswer {
	q := s.q
	limit := s.limit("surrogate", q.Surrogate, "basis", q.Basis)
	s.limit("target", q.Target, "basis", q.Basis) // a scale without its own limit says nothing
	vol := s.number("surrogate_vol_pct", q.SurrogateVolPct, volPercents)
	lel := ToLEL(vol, limit)
	set := lel * s.factor("factor", q.Factor)
	sentence := fmt.Sprintf("%s %%LEL %s must show %s on the %s scale, both on %s", figure(lel, 1), gasName(q.Surrogate), figure(set, 1), gasName(q.Target), q.Basis)
	if set > 100 {
		sentence += "; more than 100 %LEL is above the range of most channels"
	}
	return LELAnswer{VolPct: &vol, LELPct: &lel, SetValueLELPct: &set, Basis: q.Basis, Sentence: sentence}
}

// figure writes a number with so many places at the most.
func figure(x float64, places int) string {
	scale := math.Pow10(places)
	return strconv.FormatFloat(math.Round(x*scale)/scale, 'f', -1, 64)
}

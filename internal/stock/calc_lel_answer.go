package stock

import (
	"fmt"
	"math"

	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// LELAnswer is a cylinder in %LEL on each basis, and what a display must show for it on the one that was chosen.
type LELAnswer struct {
	gas.Refusal // there is no figure on the chosen basis
	Gas         string
	Amount      string // as typed
	VolPct      float64
	Basis       gas.Basis
	Figures     []LELFigure // the instrument's own first, then those of the standards
	Shown       string      // the gas of the display
	F           float64     // %LEL to show for 1 %LEL of the cylinder's gas; 1 where both are the same
	SetLELPct   *float64    // nil where the factor or the basis is missing
	Unset       gas.Refusal // why
	Sentence    string      // to be compared with the manual
	Source      string      // of the standards' figures
	Findings    []problem.Finding
}

// LELFigure is the cylinder in %LEL on one basis, or why that basis has no figure.
type LELFigure struct {
	gas.Refusal
	Basis       gas.Basis
	Chosen      bool
	LimitVolPct float64
	LELPct      float64
}

func (s lelSheet) answer() (LELAnswer, error) {
	a := LELAnswer{Gas: s.gas.name, Amount: s.typed, VolPct: volPct(s.amount), Basis: s.basis, Shown: s.shown.name}
	if s.own > 0 {
		limit := volPct(s.own)
		a.Figures = append(a.Figures, LELFigure{Basis: OwnBasis, LimitVolPct: limit, LELPct: gas.ToLEL(a.VolPct, limit)})
	}
	for _, basis := range gas.Bases() {
		known, err := gas.CalcLEL(gas.LELQuestion{Kind: "to_lel", Gas: s.gas.formula, VolPct: &a.VolPct, Basis: basis})
		if err != nil {
			return LELAnswer{}, err
		}
		figure := LELFigure{Refusal: known.Refusal, Basis: basis}
		if !known.Refused {
			figure.LimitVolPct, _ = gas.LowerLimit(s.gas.formula, basis)
			figure.LELPct, a.Source = *known.LELPct, known.Source
		}
		a.Figures = append(a.Figures, figure)
	}
	for i, f := range a.Figures {
		if f.Basis == s.basis {
			a.Figures[i].Chosen = true
			a.set(s, f)
		}
	}
	return a, nil
}

// Chosen is the figure on the basis that was chosen.
func (a LELAnswer) Chosen() LELFigure {
	for _, f := range a.Figures {
		if f.Chosen {
			return f
		}
	}
	return LELFigure{}
}

// set works out what the display must show.
func (a *LELAnswer) set(s lelSheet, f LELFigure) {
	if f.Refused {
		a.Refusal = f.Refusal
		return
	}
	a.F = 1
	switch {
	case s.factor != nil:
		a.F, _ = s.factor.F()
		a.Sentence = s.factor.Sentence(f.LELPct, s.gas.name, s.shown.name)
	case s.shown.name != "" && !s.shown.same(s.gas):
		a.Unset = gas.Refusal{
			Refused: true, Reason: fmt.Sprintf("without the factor from %s to %s nobody can say what the display must show", s.gas.name, s.shown.name),
			Advice: "take it from the instrument's manual, with which of the three numbers it is",
		}
		return
	default:
		a.Sentence = fmt.Sprintf("%g %%LEL %s must show %g, where 100 %%LEL is %g %%vol", tenth(f.LELPct), s.gas.name, tenth(f.LELPct), f.LimitVolPct)
	}
	shows := f.LELPct * a.F
	a.SetLELPct = &shows
	a.Findings = s.doubts(a.F, shows)
}

// doubts are what a person looks at once more before a channel is set by it (R19).
func (s lelSheet) doubts(f, shows float64) []problem.Finding {
	var found []problem.Finding
	if f < 1 {
		found = append(found, problem.Finding{
			Rule: "R19", Severity: problem.Ask, Subject: "factor",
			Text: fmt.Sprintf("F is %.3g: the display must show less than the cylinder has. On a catalytic sensor F is above 1 where %s is heavier than %s",
				f, s.shown.name, s.gas.name),
			Advice: "check its direction in the manual",
		})
	}
	if shows > 100 {
		found = append(found, problem.Finding{
			Rule: "R19", Severity: problem.Note, Subject: "set value",
			Text: fmt.Sprintf("%g %%LEL is above the range of most channels", tenth(shows)), Advice: "compare it with the range in the manual; take a weaker gas",
		})
	}
	return found
}

func volPct(a unit.Amount) float64 { return float64(a) / 1e7 }

func tenth(pct float64) float64 { return math.Round(pct*10) / 10 }

package gas

import (
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/problem"
)

// lelSheet reads the parts of a LELQuestion and remembers what is wrong with any of them, and the first refusal. Until both
// are looked at, what it gives out counts for nothing.
type lelSheet struct {
	q       LELQuestion
	wrong   problem.Fields
	refused error
}

// number reads a figure that must be there.
func (s *lelSheet) number(field string, value *float64, within span) float64 {
	if value == nil {
		s.wrong.Add(field, "it is missing", "give it in "+within.unit)
		return 0
	}
	within.check(&s.wrong, field, *value)
	return *value
}

// volume reads %LEL and gives it in %vol too, of which there cannot be more than all.
func (s *lelSheet) volume(limit float64) (lel, vol float64) {
	lel = s.number("lel_pct", s.q.LELPct, lelPercents)
	vol = ToVol(lel, limit)
	if vol > 100*(1+1e-9) {
		s.wrong.Add("lel_pct", fmt.Sprintf("%g %%LEL of this gas would be more than 100 %%vol", lel), "give a smaller number")
	}
	return lel, vol
}

// factor reads a factor, which is the manual's to give.
func (s *lelSheet) factor(field string, value *float64) float64 {
	if value == nil {
		s.refuse(refusal("take it from the instrument's manual, together with what it multiplies", "without a factor there is no set value for a surrogate gas"))
		return 0
	}
	factors.check(&s.wrong, field, *value)
	return *value
}

// limit finds the lower limit of a gas on a basis in %vol.
func (s *lelSheet) limit(gasField, gas, basisField string, basis Basis) float64 {
	name := gasName(gas)
	named, based := name != "" && len(name) <= longestName, basis == "" || slices.Contains(Bases(), basis)
	if !named {
		s.wrongOnce(gasField, "this is not a gas", "write its name or its formula, such as methane or CH4")
	}
	if !based {
		s.wrongOnce(basisField, fmt.Sprintf("%.40q is not a basis of the table", string(basis)), "choose one of "+basisWords(Bases()))
	}
	limit, known := LowerLimit(gas, basis)
	switch {
	case !named || !based || known:
	case basis == "":
		s.refuse(refusal("read in the instrument's manual how much gas 100 %LEL is, then choose the basis: "+basisWords(Bases()),
			"without its basis %%LEL says nothing: the same %%vol of a gas is another %%LEL on another basis"))
	default:
		s.refuse(noLimit(name, basis))
	}
	return limit
}

func noLimit(name string, basis Basis) error {
	advice := "take the lower limit from the instrument's manual or the gas supplier"
	if others := basesOf(name); len(others) > 0 {
		advice = "use the figure of the instrument's manual, or a basis that has one: " + basisWords(others)
	} else if full := isomers(name); len(full) > 0 {
		advice = "say which one: " + strings.Join(full, ", ")
	}
	return refusal(advice, "%s has no lower limit for %s", basis, name)
}

// basesOf lists the bases that have a limit for a gas.
func basesOf(gas string) []Basis {
	return slices.DeleteFunc(Bases(), func(b Basis) bool {
		_, known := LowerLimit(gas, b)
		return !known
	})
}

func basisWords(bases []Basis) string {
	words := make([]string, len(bases))
	for i, b := range bases {
		words[i] = string(b)
	}
	return strings.Join(words, ", ")
}

// refuse keeps the first reason.
func (s *lelSheet) refuse(err error) {
	if s.refused == nil {
		s.refused = err
	}
}

// wrongOnce notes a field that several figures need only once.
func (s *lelSheet) wrongOnce(field, text, advice string) {
	if !slices.ContainsFunc(s.wrong, func(f problem.Field) bool { return f.Name == field }) {
		s.wrong.Add(field, text, advice)
	}
}

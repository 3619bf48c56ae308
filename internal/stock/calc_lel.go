package stock

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/fit"
	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// LELQuestion asks what a cylinder is in %LEL, and what a display must show for it. The basis is a standard's or the instrument's own
// figure; a display that is scaled in another gas needs the factor that the manual prints, and what it means there.
type LELQuestion struct {
	Gas           string            `json:"gas"` // a component of the catalogue, or a name or formula of the standards
	Amount        unit.Typed        `json:"amount"`
	Basis         gas.Basis         `json:"basis"`
	OwnLEL        unit.Typed        `json:"own_lel"` // 100 %LEL on the instrument
	Shown         string            `json:"shown"`
	Factor        *float64          `json:"factor"`
	FactorReading fit.FactorReading `json:"factor_reading"`
}

// OwnBasis is the basis of an instrument whose manual gives its own figures.
const OwnBasis gas.Basis = "the manual"

// burning is a combustible gas by the name that people read, and by the one that the tables know.
type burning struct{ name, formula string }

func (b burning) same(other burning) bool {
	return b.formula == other.formula || strings.EqualFold(b.name, other.name)
}

// lelSheet is a question that has been read.
type lelSheet struct {
	gas, shown burning
	amount     unit.Amount
	typed      string
	basis      gas.Basis
	own        unit.Amount // 0 where there is none
	factor     *fit.PrintedFactor
}

// CalculateLEL answers a LELQuestion. A basis or a factor that nobody gave is never assumed.
func (r Room) CalculateLEL(ctx context.Context, q LELQuestion) (LELAnswer, error) {
	reader, err := r.calculating(ctx)
	if err != nil {
		return LELAnswer{}, err
	}
	sheet := reader.lel(ctx, q)
	if err := reader.err(); err != nil {
		return LELAnswer{}, err
	}
	return sheet.answer()
}

// Combustibles lists the gases of the catalogue that have a lower limit in the tables.
func (r Room) Combustibles(ctx context.Context) ([]string, error) {
	components, err := r.Store.CatalogueNames(ctx, "component")
	var known []string
	for _, c := range components {
		for _, word := range []string{c.Code, c.Name} {
			if burns(word) {
				known = append(known, word)
				break
			}
		}
	}
	return known, err
}

func burns(word string) bool {
	return slices.ContainsFunc(gas.Bases(), func(b gas.Basis) bool { _, known := gas.LowerLimit(word, b); return known })
}

func (r *needReader) lel(ctx context.Context, q LELQuestion) lelSheet {
	s := lelSheet{gas: r.burning(ctx, "gas", q.Gas), shown: r.burning(ctx, "shown", q.Shown), typed: string(q.Amount), basis: q.Basis}
	if s.gas.name == "" {
		r.wrong.Add("gas", "it is not said which gas is in the cylinder", "write its name or its formula, such as methane or CH4")
	}
	s.amount = needed(r, "amount", q.Amount, unit.ParseAmount, "the amount is not given", `write it with its unit, such as "2.5 %vol"`)
	s.own = r.ownLEL(q)
	choice(r, "basis", q.Basis, gas.Bases())
	switch {
	case q.Basis != "" && q.OwnLEL != "":
		r.wrong.Add("own_lel", "a standard is chosen as well", "leave one of the two out; where the manual has its own figure, that one counts")
	case q.Basis == "" && q.OwnLEL == "":
		r.wrong.Add("basis", "without its basis %LEL says nothing: the same %vol is another %LEL on another basis", "read in the manual how much gas 100 %LEL is")
	case q.Basis == "":
		s.basis = OwnBasis
	}
	s.factor = r.printed(s, q)
	return s
}

// burning finds a gas by its code in the catalogue; else the tables may know it.
func (r *needReader) burning(ctx context.Context, field, typed string) burning {
	word := r.text(field, typed, longestName)
	if word == "" || r.broken != nil {
		return burning{}
	}
	c, err := r.store.ComponentByCode(ctx, word)
	switch {
	case problem.KindOf(err) == problem.Missing:
		return burning{word, word}
	case err != nil:
		r.broken = err
	case !burns(c.Formula) && burns(c.Name):
		return burning{c.Name, c.Name}
	}
	return burning{c.Name, c.Formula}
}

func (r *needReader) ownLEL(q LELQuestion) unit.Amount {
	wrong := len(r.wrong)
	own := quantityOf(&r.orderReader, "own_lel", q.OwnLEL, unit.ParseAmount)
	if q.OwnLEL != "" && own == 0 && len(r.wrong) == wrong {
		r.wrong.Add("own_lel", "the figure is nothing", `give how much of the cylinder's gas 100 %LEL is, such as "5 %vol"`)
	}
	return own
}

const (
	leastFactor = 0.01
	mostFactor  = 100
)

// printed reads the factor of the manual, or nil where none is given. It says nothing without what it means there, and between
// which gases.
func (r *needReader) printed(s lelSheet, q LELQuestion) *fit.PrintedFactor {
	choice(r, "factor_reading", q.FactorReading, fit.FactorReadings())
	if q.Factor == nil {
		if q.FactorReading != "" {
			r.wrong.Add("factor", "the number itself is missing", "write it as the manual prints it")
		}
		return nil
	}
	if !(*q.Factor >= leastFactor && *q.Factor <= mostFactor) {
		r.wrong.Add("factor", fmt.Sprintf("%g makes no sense here", *q.Factor), fmt.Sprintf("give a number from %g to %d", leastFactor, mostFactor))
	}
	if q.FactorReading == "" {
		r.wrong.Add("factor_reading", "it is not said which of the three numbers the manual prints", "they look alike, and one is the inverse of another: choose one")
	}
	switch {
	case s.shown.name == "":
		r.wrong.Add("shown", "it is not said which gas the display is scaled in", "write its name or its formula, or leave the factor out")
	case s.shown.same(s.gas):
		r.wrong.Add("factor", "the display is scaled in the cylinder's own gas: there is no factor between the two", "leave the factor out, or give the other gas")
	}
	return &fit.PrintedFactor{Value: *q.Factor, Reading: q.FactorReading}
}

package stock

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/store/storetest"
)

func TestLELOfACylinder(t *testing.T) {
	h := settle(t, storetest.New(t))
	h.make(&catalogue.Component{Code: "PROP", Name: "propane", Formula: "C3H8"})
	for name, c := range map[string]struct {
		q    LELQuestion
		want string
	}{
		"on a standard": {LELQuestion{Gas: "CH4", Amount: "2.5 %vol", Basis: gas.NFPA2008},
			"NFPA497:2008: 56.8 of 4.4, [50 of 5]; shows 50 (F 1): 50 %LEL methane must show 50, where 100 %LEL is 5 %vol"},
		"by the manual": {LELQuestion{Gas: "methane", Amount: "25000 ppm", OwnLEL: "4.4 %vol"},
			"the manual: [56.8 of 4.4], 56.8 of 4.4, 50 of 5; shows 56.8 (F 1): 56.8 %LEL methane must show 56.8, where 100 %LEL is 4.4 %vol"},
		"a multiplier": {LELQuestion{Gas: "PROP", Amount: "0.85 %vol", Basis: gas.IEC2010, Shown: "n-hexane", Factor: new(1.15), FactorReading: fit.Multiplier},
			"IEC60079-20-1:2010: [50 of 1.7], 40.5 of 2.1; shows 57.5 (F 1.15): 50 %LEL propane must show 57.5 on this n-hexane scale"},
		"true reading": {LELQuestion{Gas: "PROP", Amount: "0.85 %vol", Basis: gas.IEC2010, Shown: "n-hexane", Factor: new(1.15), FactorReading: fit.TrueReading},
			"IEC60079-20-1:2010: [50 of 1.7], 40.5 of 2.1; shows 57.5 (F 1.15): 50 %LEL propane must show 57.5 on this n-hexane scale"},
		"relative response asks for its direction": {LELQuestion{Gas: "PROP", Amount: "0.85 %vol", Basis: gas.IEC2010, Shown: "n-hexane", Factor: new(1.25), FactorReading: fit.RelativeResponse},
			"IEC60079-20-1:2010: [50 of 1.7], 40.5 of 2.1; shows 40 (F 0.8): 50 %LEL propane must show 40 on this n-hexane scale; ask factor"},
		"above the range": {LELQuestion{Gas: "CH4", Amount: "3 %vol", Basis: gas.NFPA2008, Shown: "pentane", Factor: new(2.0), FactorReading: fit.Multiplier},
			"NFPA497:2008: 68.2 of 4.4, [60 of 5]; shows 120 (F 2): 60 %LEL methane must show 120 on this pentane scale; note set value"},
		"the display's own gas": {LELQuestion{Gas: "CH4", Amount: "2.5 %vol", Basis: gas.NFPA2008, Shown: "Methane"},
			"NFPA497:2008: 56.8 of 4.4, [50 of 5]; shows 50 (F 1): 50 %LEL methane must show 50, where 100 %LEL is 5 %vol"},
		"without a factor": {LELQuestion{Gas: "CH4", Amount: "2.5 %vol", Basis: gas.NFPA2008, Shown: "n-hexane"},
			"NFPA497:2008: 56.8 of 4.4, [50 of 5]; unset: without the factor from methane to n-hexane nobody can say what the display must show"},
		"no figure on the basis": {LELQuestion{Gas: "hexane", Amount: "1 %vol", Basis: gas.NFPA2008},
			"NFPA497:2008: none, [none]; refused: NFPA497:2008 has no lower limit for hexane"},
		"only the manual knows it": {LELQuestion{Gas: "the maker's mix", Amount: "1 %vol", OwnLEL: "2 %vol"},
			"the manual: [50 of 2], none, none; shows 50 (F 1): 50 %LEL the maker's mix must show 50, where 100 %LEL is 2 %vol"},
	} {
		a, err := h.CalculateLEL(h.ctx(), c.q)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if got := inWords(a); got != c.want {
			t.Errorf("%s:\n%s, want\n%s", name, got, c.want)
		}
	}
}

// inWords tells everything of an answer, the chosen figure in brackets.
func inWords(a LELAnswer) string {
	var figures []string
	for _, f := range a.Figures {
		text := fmt.Sprintf("%.3g of %g", f.LELPct, f.LimitVolPct)
		if f.Refused {
			text = "none"
		}
		if f.Chosen {
			text = "[" + text + "]"
		}
		figures = append(figures, text)
	}
	said := fmt.Sprintf("%s: %s", a.Basis, strings.Join(figures, ", "))
	if a.SetLELPct != nil {
		said += fmt.Sprintf("; shows %.3g (F %.3g): %s", *a.SetLELPct, a.F, a.Sentence)
	}
	if a.Unset.Refused {
		said += "; unset: " + a.Unset.Reason
	}
	if a.Refused {
		said += "; refused: " + a.Reason
	}
	for _, f := range a.Findings {
		said += fmt.Sprintf("; %s %s", f.Severity, f.Subject)
	}
	return said
}

// Rule R19: neither basis nor factor is ever assumed.
func TestLELQuestionsThatAreWrong(t *testing.T) {
	h := settle(t, storetest.New(t))
	for name, c := range map[string]struct {
		q    LELQuestion
		want []string
	}{
		"nothing is said":        {LELQuestion{}, []string{"gas: it is not said", "amount: the amount is not given", "basis: without its basis %LEL says nothing"}},
		"two bases":              {LELQuestion{Gas: "CH4", Amount: "1 %vol", Basis: gas.IEC2010, OwnLEL: "5 %vol"}, []string{"own_lel: a standard is chosen as well"}},
		"an unknown basis":       {LELQuestion{Gas: "CH4", Amount: "1 %vol", Basis: "mine"}, []string{`basis: "mine" is not known here`}},
		"a limit of nothing":     {LELQuestion{Gas: "CH4", Amount: "1 %vol", OwnLEL: "0 %vol"}, []string{"own_lel: the figure is nothing"}},
		"an amount in %LEL":      {LELQuestion{Gas: "CH4", Amount: "50 %LEL", Basis: gas.IEC2010}, []string{`amount: "%LEL" is not a unit of amount`}},
		"a factor alone":         {LELQuestion{Gas: "CH4", Amount: "1 %vol", Basis: gas.IEC2010, Factor: new(1.2)}, []string{"factor_reading: it is not said which of the three", "shown: it is not said which gas the display"}},
		"a reading alone":        {LELQuestion{Gas: "CH4", Amount: "1 %vol", Basis: gas.IEC2010, Shown: "n-hexane", FactorReading: fit.Multiplier}, []string{"factor: the number itself is missing"}},
		"a factor without sense": {LELQuestion{Gas: "CH4", Amount: "1 %vol", Basis: gas.IEC2010, Shown: "n-hexane", Factor: new(-1.0), FactorReading: "guess"}, []string{"factor: -1 makes no sense", `factor_reading: "guess" is not known here`}},
		"a factor to itself":     {LELQuestion{Gas: "CH4", Amount: "1 %vol", Basis: gas.IEC2010, Shown: "methane", Factor: new(1.2), FactorReading: fit.Multiplier}, []string{"factor: the display is scaled in the cylinder's own gas"}},
		"a name that is no name": {LELQuestion{Gas: strings.Repeat("x", 99), Amount: "1 %vol", Basis: gas.IEC2010}, []string{"gas: it has 99 characters"}},
	} {
		_, err := h.CalculateLEL(h.ctx(), c.q)
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

func TestCombustiblesOfTheCatalogue(t *testing.T) {
	h := settle(t, storetest.New(t))
	h.make(&catalogue.Component{Code: "PROP", Name: "propane", Formula: "C3H8"})
	gases, err := h.Combustibles(h.ctx())
	if err != nil || !slices.Contains(gases, "CH4") || !slices.Contains(gases, "propane") || slices.Contains(gases, "N2") {
		t.Errorf("%v, %v", gases, err)
	}
}

package gas

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func ask(mix Mix, limits, k map[string]float64) LFLQuestion {
	pointers := func(values map[string]float64) map[string]*float64 {
		all := map[string]*float64{}
		for name, value := range values {
			all[name] = &value
		}
		return all
	}
	return LFLQuestion{mix, pointers(limits), pointers(k)}
}

func limitOf(t interface{ Fatalf(string, ...any) }, q LFLQuestion) float64 {
	a, err := CalcLFL(q)
	if err != nil || a.Refused {
		t.Fatalf("%+v: %+v, %v", q, a, err)
	}
	return *a.MixtureLFLFraction
}

func TestPureGasHasItsOwnLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limit := rapid.Float64Range(0.001, 0.99).Draw(t, "limit")
		if got := limitOf(t, ask(Mix{"X": 1}, map[string]float64{"X": limit}, nil)); math.Abs(got-limit) > 1e-12 {
			t.Fatalf("got %v, want %v", got, limit)
		}
	})
}

// More nitrogen never makes a mixture burn at a smaller share, and in nitrogen alone it is mere dilution.
func TestNitrogenNeverLowersTheLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		methane := rapid.Float64Range(0.05, 0.9).Draw(t, "methane")
		ethane := rapid.Float64Range(0, 1).Draw(t, "ethane") * (1 - methane)
		more := rapid.Float64Range(0, 0.9).Draw(t, "more nitrogen")
		k := rapid.Float64Range(0.5, 4).Draw(t, "k")
		limits, ks := map[string]float64{"CH4": 0.044, "C2H6": 0.024}, map[string]float64{"X": k}
		before := limitOf(t, ask(Mix{"CH4": methane, "C2H6": ethane, "X": 1 - methane - ethane}, limits, ks))
		rest := 1 - more
		after := limitOf(t, ask(Mix{"CH4": methane * rest, "C2H6": ethane * rest, "X": (1 - methane - ethane) * rest, "N2": more}, limits, ks))
		if math.Abs(after-before/rest) > 1e-9*after {
			t.Fatalf("%v becomes %v with %v nitrogen", before, after, more)
		}
	})
}

// An inert that quenches better than nitrogen raises the limit, one that quenches worse lowers it.
func TestBetterQuenchingRaisesTheLimit(t *testing.T) {
	last := 0.0
	for _, k := range []float64{0.55, 0.9, 1, 1.5, 4} {
		limit := limitOf(t, ask(Mix{"CH4": 0.1, "X": 0.9}, map[string]float64{"CH4": 0.044}, map[string]float64{"X": k}))
		if limit <= last {
			t.Errorf("K %v: %v after %v", k, limit, last)
		}
		last = limit
	}
}

func TestLFLSentences(t *testing.T) {
	for _, c := range []struct {
		name  string
		q     LFLQuestion
		burns bool
		want  string
	}{
		{"plain", ask(Mix{"H2": 0.05, "N2": 0.95}, map[string]float64{"H2": 0.04}, nil), true,
			"by this formula the mixture burns in air from 80 %vol of it; this is not the transport classification"},
		{"diluted", ask(Mix{"CH4": 0.025, "N2": 0.975}, map[string]float64{"CH4": 0.044}, nil), false,
			"by this formula the mixture has no lower limit in air; this is not the transport classification"},
		{"in air", ask(Mix{"CH4": 0.022, "air": 0.978}, map[string]float64{"CH4": 0.044}, nil), false,
			"by this formula the mixture has no lower limit in air; it holds an oxidising gas, and whether it burns by itself is another question; this is not the transport classification"},
		{"in much argon", ask(Mix{"CH4": 0.03, "Ar": 0.97}, map[string]float64{"CH4": 0.044}, map[string]float64{"Ar": 0.55}), true,
			"by this formula the mixture burns in air from 48.449 %vol of it; with so much inert gas the formula is only a hint; this is not the transport classification"},
	} {
		a, err := CalcLFL(c.q)
		if err != nil || a.Refused || *a.LimitInAir != c.burns || a.Sentence != c.want || !strings.Contains(a.Basis, "ISO 10156:2017") {
			t.Errorf("%s: %+v, %v; want %q", c.name, a, err, c.want)
		}
	}
}

func TestLFLRefusals(t *testing.T) {
	unknown := ask(Mix{"CH4": 0.1, "CO2": 0.9}, nil, nil)
	unknown.LFLFraction["CH4"], unknown.InertK["CO2"] = nil, nil
	methane := map[string]float64{"CH4": 0.044}
	for name, c := range map[string]struct {
		q      LFLQuestion
		reason string
	}{
		"a flammable without limit":    {ask(Mix{"CH4": 0.5, "H2": 0.5}, methane, nil), "for H2"},
		"an inert without K":           {ask(Mix{"CH4": 0.5, "CO2": 0.5}, methane, nil), "for CO2"},
		"null is no value":             {unknown, "for CH4, CO2"},
		"nothing burns":                {ask(Mix{"N2": 1}, methane, nil), "nothing in this mixture burns"},
		"no flame in so much argon":    {ask(Mix{"CH4": 0.01, "Ar": 0.99}, methane, map[string]float64{"Ar": 0.55}), "does not reach"},
		"a trace beyond all reckoning": {ask(Mix{"CH4": 5e-324, "CO2": 1}, methane, map[string]float64{"CO2": 1.5}), "does not reach"},
	} {
		a, err := CalcLFL(c.q)
		if err != nil || !a.Refused || !strings.Contains(a.Reason, c.reason) || a.Advice == "" || a.Basis == "" {
			t.Errorf("%s: %+v, %v", name, a, err)
		}
		if a.MixtureLFLFraction != nil || a.LimitInAir != nil || a.Sentence != "" {
			t.Errorf("%s: refused, and yet it says %+v", name, a)
		}
	}
}

// What is not in the mixture needs neither limit nor K.
func TestAbsentComponentsNeedNothing(t *testing.T) {
	q := ask(Mix{"CH4": 1, "CO2": 0, "H2": 0}, map[string]float64{"CH4": 0.044, "C2H6": 0.024}, nil)
	near(t, "limit", limitOf(t, q), 0.044, 1e-12)
}

func TestLFLNamesEveryWrongField(t *testing.T) {
	for fields, q := range map[string]LFLQuestion{
		"composition": ask(Mix{"CH4": 0.5}, map[string]float64{"CH4": 0.044}, nil),
		"composition.CH4 composition.N2 lfl_fraction.CH4": ask(Mix{"CH4": -0.5, "N2": 1.5}, map[string]float64{"CH4": -0.044}, nil),
		"lfl_fraction.C2H6 lfl_fraction.H2":               ask(Mix{"H2": 1}, map[string]float64{"H2": 1, "C2H6": 0, "CH4": 0.044}, nil),
		"inert_k.CO inert_k.CO2 inert_k.N2":               ask(Mix{"H2": 1}, map[string]float64{"H2": 0.04}, map[string]float64{"CO": 1, "CO2": -1, "N2": 0.9}),
		"inert_k.SiH4":                                    ask(Mix{"SiH4": 1}, map[string]float64{"SiH4": 0.014}, map[string]float64{"SiH4": 1}),
	} {
		_, err := CalcLFL(q)
		wantFields(t, err, strings.Fields(fields)...)
	}
}

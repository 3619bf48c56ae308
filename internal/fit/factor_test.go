package fit

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestThreeReadingsOfOneNumber(t *testing.T) {
	for reading, want := range map[FactorReading]float64{Multiplier: 1.25, TrueReading: 1.25, RelativeResponse: 0.8} {
		if f, ok := (PrintedFactor{1.25, reading}).F(); !ok || f != want {
			t.Errorf("%s: F = %v, %v, want %v", reading, f, ok, want)
		}
	}
}

func TestNoFactorIsEverAssumed(t *testing.T) {
	for _, reading := range append(FactorReadings(), "", "inverse", "Multiplier") {
		for _, value := range []float64{0, -1.15, math.NaN(), math.Inf(1), math.Inf(-1)} {
			if f, ok := (PrintedFactor{value, reading}).F(); ok || f != 0 {
				t.Errorf("%q %v: F = %v", reading, value, f)
			}
		}
	}
	for _, p := range []PrintedFactor{{}, {1, ""}, {1, "inverse"}, {5e-324, RelativeResponse}} {
		if f, ok := p.F(); ok || f != 0 {
			t.Errorf("%+v: F = %v", p, f)
		}
	}
}

// Who takes the one reading for the other is wrong by the square of the factor: the two are each other's inverse.
func TestReadingsAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Float64Range(0.01, 100).Draw(t, "k")
		f, _ := PrintedFactor{k, Multiplier}.F()
		inverse, ok := PrintedFactor{k, RelativeResponse}.F()
		if !ok || math.Abs(f*inverse-1) > 1e-12 {
			t.Fatalf("%v and %v", f, inverse)
		}
	})
}

func TestSentence(t *testing.T) {
	const unknown = "it is not known what propane must show on this hexane scale"
	for _, c := range []struct {
		factor PrintedFactor
		lel    float64
		want   string
	}{
		{PrintedFactor{1.15, Multiplier}, 50, "50 %LEL propane must show 57.5 on this hexane scale"},
		{PrintedFactor{1.15, TrueReading}, 50, "50 %LEL propane must show 57.5 on this hexane scale"},
		{PrintedFactor{1.15, RelativeResponse}, 50, "50 %LEL propane must show 43.5 on this hexane scale"},
		{PrintedFactor{1, Multiplier}, 61.7647, "61.8 %LEL propane must show 61.8 on this hexane scale"},
		{PrintedFactor{1.15, ""}, 50, unknown},
		{PrintedFactor{0, Multiplier}, 50, unknown},
		{PrintedFactor{1.15, Multiplier}, math.NaN(), unknown},
		{PrintedFactor{1.15, Multiplier}, -50, unknown},
	} {
		if got := c.factor.Sentence(c.lel, "propane", "hexane"); got != c.want {
			t.Errorf("%+v: %q, want %q", c.factor, got, c.want)
		}
	}
}

package gas

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
)

var (
	nitrogen = Mix{"N2": 1}
	fourGas  = Mix{"CH4": 0.025, "O2": 0.18, "CO": 0.0001, "H2S": 0.000025, "N2": 0.794875}
)

// anyMix draws up to four known components beside nitrogen.
func anyMix(t *rapid.T) Mix {
	names := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"O2", "Ar", "CH4", "H2", "He", "CO2", "CO", "SO2", "NH3", "air", "nC5H12"}),
		0, 4, rapid.ID[string]).Draw(t, "components")
	mix := Mix{}
	rest := 1.0
	for _, name := range names {
		mix[name] = rapid.Float64Range(0, 0.2).Draw(t, name)
		rest -= mix[name]
	}
	mix["N2"] = rest
	return mix
}

// factorOf gives the real-gas factor of a mix.
func factorOf(mix Mix, kelvin, barAbs float64) (float64, error) {
	m, err := NewMixture(mix)
	if err != nil {
		return 0, err
	}
	return m.At(kelvin).Z(barAbs)
}

func TestZIsOneWithoutPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, err := NewMixture(anyMix(t))
		if err != nil {
			t.Fatal(err)
		}
		s := m.At(rapid.Float64Range(coldestKelvin, hottestKelvin).Draw(t, "kelvin"))
		bar := rapid.Float64Range(0, 1e-3).Draw(t, "bar")
		z, err := s.Z(bar)
		if err != nil || math.Abs(z-1) > 0.1*bar+1e-12 {
			t.Fatalf("Z = %v, %v at %v bar", z, err, bar)
		}
	})
}

// The root must satisfy the equation it was solved from, and no root may be larger.
func TestLargestRoot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.Float64Range(-3, 3).Draw(t, "b")
		c := rapid.Float64Range(-1, 1).Draw(t, "c")
		f := func(z float64) float64 { return cube(z) - z*z - b*z - c }
		z := largestRoot(b, c)
		if size := 1 + math.Abs(cube(z)); math.Abs(f(z)) > 1e-11*size {
			t.Fatalf("root %v leaves %v", z, f(z))
		}
		for step := 1e-3; step < 10; step *= 1.1 {
			if f(z+step) <= 0 {
				t.Fatalf("there is a larger root than %v before %v", z, z+step)
			}
		}
	})
}

func TestLargestRootOfTripleAndIdeal(t *testing.T) {
	near(t, "triple root", largestRoot(-1.0/3, 1.0/27), 1.0/3, 1e-5)
	near(t, "ideal gas", largestRoot(0, 0), 1, 1e-15)
}

func TestDensityRisesWithPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, err := NewMixture(anyMix(t))
		if err != nil {
			t.Fatal(err)
		}
		s := m.At(rapid.Float64Range(263, 333).Draw(t, "kelvin"))
		low := rapid.Float64Range(0, 200).Draw(t, "low")
		high := low + rapid.Float64Range(0.01, 20).Draw(t, "more")
		a, b := s.density(low), s.density(high)
		if a >= b || math.IsNaN(a) && !math.IsNaN(b) {
			t.Fatalf("%v mol/L at %v bar, %v mol/L at %v bar", a, low, b, high)
		}
	})
}

// Gases without fitted numbers against their well-known densities at 0 °C and 1 atm in g/L.
func TestKnownGases(t *testing.T) {
	const idealLitresPerMole = 22.41397
	for name, gas := range map[string]struct{ mass, density float64 }{
		"SO2": {64.064, 2.926}, "NH3": {17.031, 0.7714}, "N2O": {44.013, 1.978}, "Xe": {131.29, 5.897}, "Cl2": {70.906, 3.214}, "C2H4": {28.054, 1.260},
	} {
		z, err := factorOf(Mix{name: 1}, 273.15, 1.01325)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name, z, gas.mass/gas.density/idealLitresPerMole, 0.003)
	}
}

func TestZOfManyNamesDoesNotDependOnOrder(t *testing.T) {
	first := mixture(t, fourGas).At(290)
	for range 20 {
		if again := mixture(t, fourGas).At(290); again != first {
			t.Fatalf("%v after %v", again, first)
		}
	}
}

func TestZOutsideTheModel(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, kelvin := range []float64{nan, inf, -inf, 0, -5, 199, 401} {
		_, err := factorOf(nitrogen, kelvin, 10)
		wantFields(t, err, "temperature_k")
	}
	for _, bar := range []float64{nan, inf, -inf, -0.1, 351} {
		_, err := factorOf(nitrogen, 293.15, bar)
		wantFields(t, err, "pressure_bar_abs")
	}
	_, err := factorOf(Mix{"C3H8": 1}, 243, 200)
	if err == nil {
		t.Fatal("propane is no gas at 200 bar and 243 K")
	}
	wantRefused(t, err, "200 bar")
}

// Past the end of the gas branch the equation still has roots, of absurd density; they are no answers.
func TestZOnTheGasBranchOnly(t *testing.T) {
	for _, c := range []struct {
		what string
		mix  Mix
		bar  float64
		gas  bool
	}{
		{"rich in pentane", Mix{"N2": 0.7375, "O2": 0.0625, "nC5H12": 0.2}, 200, false},
		{"the same at low pressure", Mix{"N2": 0.7375, "O2": 0.0625, "nC5H12": 0.2}, 20, true},
		{"sulfur dioxide far above saturation", Mix{"SO2": 1}, 100, false},
		{"nitrogen has no end", Mix{"N2": 1}, 350, true},
	} {
		z, err := factorOf(c.mix, 300, c.bar)
		if c.gas != (err == nil) {
			t.Errorf("%s: got %v, %v", c.what, z, err)
		}
	}
}

func TestDensest(t *testing.T) {
	for _, c := range []struct{ b, c, want float64 }{
		{-0.5, 0, 1}, {-1, 0.25, 2.0 / 3}, {0, -1.0 / 3, 1}, {-1, 0.34, math.Inf(1)}, {1, 0.25, math.Inf(1)}, {0.5, 0, math.Inf(1)},
	} {
		if got := densest(c.b, c.c); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("B %v, C %v: got %v, want %v", c.b, c.c, got, c.want)
		}
	}
}

func TestZSaysNothingAboutLiquid(t *testing.T) {
	z, err := factorOf(Mix{"CO2": 1}, 293.15, 57)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "saturated CO2", z, 0.53, 0.04)
	if _, err := (Content{Mixture: mixture(t, Mix{"CO2": 1}), WaterL: 1, GaugeBar: 56, Kelvin: 293.15, AtmBar: 1, Ref: "15C_1atm"}).FreeLitres(); problem.KindOf(err) != problem.Refused {
		t.Errorf("its content: got %v, want a refusal", err)
	}
}

func BenchmarkZ(b *testing.B) {
	s := mixture(b, fourGas).At(293.15)
	for b.Loop() {
		if _, err := s.Z(70); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAt(b *testing.B) {
	m := mixture(b, fourGas)
	var s State
	for b.Loop() {
		s = m.At(293.15)
	}
	if s.b == 0 {
		b.Fatal("no state")
	}
}

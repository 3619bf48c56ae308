package gas

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// reading is a typical cylinder: 69 bar of four-gas mixture on a dial of ± 2.5 bar.
func reading(t testing.TB) Reading {
	c := content(t, fourGas, 69, 294.15)
	return Reading{Content: c, HeelBar: 2, GaugeLimitBar: 2.5, TemperatureLimitK: 3, VolumeLimitPct: 2}
}

func usable(t *testing.T, r Reading) Usable {
	t.Helper()
	u, err := r.Usable()
	if err != nil {
		t.Fatal(err)
	}
	return u
}

func anyReading(t *rapid.T) Reading {
	m, err := NewMixture(anyMix(t))
	if err != nil {
		t.Fatal(err)
	}
	return Reading{
		Content: Content{
			Mixture: m, WaterL: rapid.Float64Range(0.1, 50).Draw(t, "water"), GaugeBar: rapid.Float64Range(0, 200).Draw(t, "gauge"),
			Kelvin: rapid.Float64Range(253, 323).Draw(t, "kelvin"), AtmBar: rapid.Float64Range(0.6, 1.1).Draw(t, "atm"), Ref: "15C_1bar",
		},
		HeelBar: rapid.Float64Range(0, 20).Draw(t, "heel"), GaugeLimitBar: rapid.Float64Range(0, 10).Draw(t, "gauge limit"),
		TemperatureLimitK: rapid.Float64Range(0, 10).Draw(t, "temperature limit"), VolumeLimitPct: rapid.Float64Range(0, 10).Draw(t, "volume limit"),
	}
}

func TestUsableExampleOfTheRule(t *testing.T) {
	r := reading(t)
	near(t, "1 L from 69 to 2 bar", usable(t, r).Litres, 67.0, 0.1)
	r.HeelBar = 0
	full := usable(t, r).Litres
	whole := litres(t, r.Content)
	r.GaugeBar = 0
	near(t, "usable to zero is content less what stays", full, whole-litres(t, r.Content), 1e-9)
}

func TestUsableIsOrdered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u, err := anyReading(t).Usable()
		if err != nil {
			t.Skip("liquid may be present")
		}
		const rounding = 1e-9
		if !(0 <= u.Low && u.Low <= u.Litres && u.Litres <= u.High && u.Worst <= u.Litres+rounding && u.Litres <= u.Best+rounding) {
			t.Fatalf("out of order: %+v", u)
		}
	})
}

func TestUsableRisesWithPressureAndFallsWithHeel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyReading(t)
		fuller, deeper := r, r
		fuller.GaugeBar += rapid.Float64Range(0.1, 20).Draw(t, "more")
		deeper.HeelBar += rapid.Float64Range(0.1, 20).Draw(t, "deeper")
		u, err := r.Usable()
		more, errMore := fuller.Usable()
		less, errLess := deeper.Usable()
		if err != nil || errMore != nil || errLess != nil {
			t.Skip("liquid may be present")
		}
		if more.Litres < u.Litres || fuller.GaugeBar > r.HeelBar+0.01 && more.Litres <= u.Litres {
			t.Fatalf("%v L at %v bar, %v L at %v bar", u.Litres, r.GaugeBar, more.Litres, fuller.GaugeBar)
		}
		if less.Litres > u.Litres || u.Litres > 1e-6 && less.Litres >= u.Litres {
			t.Fatalf("%v L above %v bar, %v L above %v bar", u.Litres, r.HeelBar, less.Litres, deeper.HeelBar)
		}
	})
}

// The combined uncertainty is the spread that many cylinders would show whose errors are drawn from the limits.
func TestUncertaintyAgainstManyDraws(t *testing.T) {
	r := reading(t)
	u := usable(t, r)
	random := rand.New(rand.NewPCG(1, 2))
	within := func(limit float64) float64 { return limit * (2*random.Float64() - 1) }
	const draws = 20_000
	var sum, squares float64
	for range draws {
		one := r
		one.GaugeBar += within(r.GaugeLimitBar)
		one.Kelvin += within(r.TemperatureLimitK)
		one.WaterL *= 1 + within(r.VolumeLimitPct)/100
		got, err := one.Usable()
		if err != nil {
			t.Fatal(err)
		}
		sum += got.Litres
		squares += got.Litres * got.Litres
		if got.Litres < u.Worst || got.Litres > u.Best {
			t.Fatalf("%v is outside the corners %v to %v", got.Litres, u.Worst, u.Best)
		}
	}
	mean := sum / draws
	near(t, "mean", mean, u.Litres, 0.1)
	near(t, "spread", math.Sqrt(squares/draws-mean*mean), u.Uncertainty, 0.03*u.Uncertainty)
}

func TestWithoutLimitsThereIsNoInterval(t *testing.T) {
	r := reading(t)
	r.GaugeLimitBar, r.TemperatureLimitK, r.VolumeLimitPct = 0, 0, 0
	u := usable(t, r)
	for what, got := range map[string]float64{"low": u.Low, "high": u.High, "worst": u.Worst, "best": u.Best} {
		near(t, what, got, u.Litres, 1e-12)
	}
}

func TestAtTheHeelNothingIsLeft(t *testing.T) {
	r := reading(t)
	for _, gauge := range []float64{0, 1.9, 2} {
		r.GaugeBar = gauge
		if u := usable(t, r); u != (Usable{BelowHeel: true}) {
			t.Errorf("at %v bar: got %+v", gauge, u)
		}
	}
	r.GaugeBar = 2.01
	if u := usable(t, r); u.BelowHeel || u.Litres <= 0 || u.Low != 0 || u.Worst >= 0 {
		t.Errorf("just above the heel: got %+v", u)
	}
}

func TestUsableOfNonsense(t *testing.T) {
	_, err := Reading{}.Usable()
	wantFields(t, err, "composition", "reference", "temperature_k", "water_volume_l", "atmospheric_bar")
	for _, bad := range []float64{math.NaN(), math.Inf(1), -1, 1e300} {
		r := reading(t)
		r.HeelBar, r.GaugeLimitBar, r.TemperatureLimitK, r.VolumeLimitPct = bad, bad, bad, bad
		_, err := r.Usable()
		wantFields(t, err, "heel_gauge_bar", "gauge_limit_bar", "temperature_limit_k", "volume_limit_pct")
	}
}

func TestUsableIsRefusedWhereLiquidMayBe(t *testing.T) {
	r := reading(t)
	r.Content = content(t, Mix{"CO2": 1}, 56.3, 293.15)
	_, err := r.Usable()
	wantRefused(t, err, "CO2")
	r.Content = content(t, Mix{"C3H8": 0.89, "N2": 0.11}, 0, 243)
	r.GaugeBar, r.GaugeLimitBar = 20, 300
	_, err = r.Usable()
	wantRefused(t, err, "no gas")
}

func TestMargin(t *testing.T) {
	u := Usable{Litres: 60, Uncertainty: 3}
	m := u.Margin(50, 10)
	near(t, "expected", m.Expected, 10, 1e-12)
	near(t, "low", m.Low, 10-2*math.Hypot(3, 5/math.Sqrt(3)), 1e-12)
	near(t, "an exact need", u.Margin(50, 0).Low, 4, 1e-12)
	near(t, "more than there is", u.Margin(70, 0).Expected, -10, 1e-12)
	for _, bad := range []float64{math.NaN(), math.Inf(1), -1} {
		for _, m := range []Margin{u.Margin(bad, 0), u.Margin(10, bad)} {
			if !(m.Expected < -1e300 && m.Low < -1e300) {
				t.Errorf("%v: got %+v", bad, m)
			}
		}
	}
}

func BenchmarkUsable(b *testing.B) {
	r := reading(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.Usable(); err != nil {
			b.Fatal(err)
		}
	}
}

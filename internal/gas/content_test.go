package gas

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func content(t testing.TB, mix Mix, gaugeBar, kelvin float64) Content {
	t.Helper()
	return Content{Mixture: mixture(t, mix), WaterL: 1, GaugeBar: gaugeBar, Kelvin: kelvin, AtmBar: 1.01325, Ref: "70F_1atm"}
}

func litres(t *testing.T, c Content) float64 {
	t.Helper()
	l, err := c.FreeLitres()
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestAVesselAtReferenceHoldsItself(t *testing.T) {
	for ref, condition := range references {
		c := content(t, fourGas, 0, condition.kelvin)
		c.WaterL, c.AtmBar, c.Ref = 7, condition.bar, ref
		near(t, string(ref), litres(t, c), 7, 1e-9)
		if ref.Kelvin() != condition.kelvin || ref.Bar() != condition.bar {
			t.Errorf("%s: %v K, %v bar", ref, ref.Kelvin(), ref.Bar())
		}
	}
}

func TestParseReference(t *testing.T) {
	if ref, err := ParseReference("15C_1bar"); err != nil || ref != "15C_1bar" {
		t.Errorf("got %v, %v", ref, err)
	}
	for _, text := range []string{"", "25C_1atm", "70f_1atm", "15C_1bar "} {
		if ref, err := ParseReference(text); err == nil {
			t.Errorf("%q is read as %v", text, ref)
		}
	}
}

// Where the principal component stands on either side of the two lines that R14b draws.
func TestContentIsRefusedWhereLiquidMayBe(t *testing.T) {
	dew := func(component string, kelvin, share float64) float64 {
		bar, _ := saturation(component, kelvin)
		return share*bar - 1.01325
	}
	for _, c := range []struct {
		what          string
		mix           Mix
		gauge, kelvin float64
		refused       bool
	}{
		{"vapour below saturation", Mix{"C3H8": 1}, dew("C3H8", 288.15, 0.97), 288.15, false},
		{"vapour at saturation", Mix{"C3H8": 1}, dew("C3H8", 288.15, 0.981), 288.15, true},
		{"ninety per cent counts alone", Mix{"C3H8": 0.9, "N2": 0.1}, dew("C3H8", 288.15, 0.981/0.9), 288.15, true},
		{"its partial pressure decides", Mix{"C3H8": 0.9, "N2": 0.1}, dew("C3H8", 288.15, 0.981), 288.15, false},
		{"below ninety per cent", Mix{"C3H8": 0.89, "N2": 0.11}, dew("C3H8", 288.15, 1.2), 288.15, false},
		{"near critical, low", Mix{"CO2": 1}, 0.79*73.773 - 1.01325, 315, false},
		{"near critical, high", Mix{"CO2": 1}, 0.81*73.773 - 1.01325, 315, true},
		{"beyond 1.05 Tc", Mix{"CO2": 1}, 0.81*73.773 - 1.01325, 320, false},
		{"without a row, vapour", Mix{"SF6": 1}, dew("SF6", 293.15, 0.95), 293.15, false},
		{"without a row, liquid", Mix{"SF6": 1}, dew("SF6", 293.15, 0.99), 293.15, true},
		{"permanent gas", Mix{"N2": 1}, 300, 250, false},
	} {
		t.Run(c.what, func(t *testing.T) {
			_, err := content(t, c.mix, c.gauge, c.kelvin).FreeLitres()
			if c.refused {
				wantRefused(t, err, "may be liquid")
			} else if err != nil {
				t.Error(err)
			}
		})
	}
}

func TestContentOfNonsense(t *testing.T) {
	_, err := Content{}.FreeLitres()
	wantFields(t, err, "composition", "reference", "temperature_k", "water_volume_l", "atmospheric_bar")
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300} {
		c := content(t, nitrogen, bad, bad)
		c.WaterL, c.AtmBar = bad, bad
		_, err := c.FreeLitres()
		wantFields(t, err, "gauge_bar", "temperature_k", "water_volume_l", "atmospheric_bar")
	}
}

func TestContentWithoutAGasRoot(t *testing.T) {
	_, err := content(t, Mix{"C3H8": 0.85, "N2": 0.15}, 300, 243).FreeLitres()
	wantRefused(t, err, "no gas")
}

func TestReduced(t *testing.T) {
	near(t, "the rule's example", Reduced(37.5, 276.15, 294.15, 1.01325), 40.0, 0.05)
	rapid.Check(t, func(t *rapid.T) {
		gauge := rapid.Float64Range(0, 300).Draw(t, "gauge")
		from := rapid.Float64Range(coldestKelvin, hottestKelvin).Draw(t, "from")
		to := rapid.Float64Range(coldestKelvin, hottestKelvin).Draw(t, "to")
		there := Reduced(gauge, from, to, 1)
		if back := Reduced(there, to, from, 1); math.Abs(back-gauge) > 1e-9 {
			t.Fatalf("%v becomes %v and then %v", gauge, there, back)
		}
		if math.Abs(to-from) > 1e-6 && (to > from) != (there > gauge) {
			t.Fatalf("%v bar at %v K is %v bar at %v K", gauge, from, there, to)
		}
	})
	for _, bad := range []float64{0, -3, math.NaN()} {
		if got := Reduced(40, bad, 294, 1); got != 40 {
			t.Errorf("from %v K: got %v", bad, got)
		}
		if got := Reduced(40, 294, bad, 1); got != 40 {
			t.Errorf("to %v K: got %v", bad, got)
		}
	}
}

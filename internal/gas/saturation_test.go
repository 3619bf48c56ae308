package gas

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
)

func TestSaturationBar(t *testing.T) {
	for _, c := range []struct {
		what, component string
		celsius         float64
		want, percent   float64
	}{
		{"a row", "CO2", 20, 57.2905, 1e-9},
		{"the first row", "H2S", -20, 5.4637, 1e-9},
		{"the last row", "nC4H10", 50, 4.9575, 1e-9},
		{"between rows", "C3H8", 35, 12.18, 0.1},
		{"below the rows", "C3H8", -40, 1.110, 1.5},
		{"above the rows", "C3H8", 60, 21.17, 0.5},
		{"near the critical point", "CO2", 30, 72.1, 1},
	} {
		bar, ok := SaturationBar(c.component, c.celsius+celsiusZero)
		if !ok {
			t.Errorf("%s: no saturation pressure of %s", c.what, c.component)
		}
		near(t, c.what, bar, c.want, c.want*c.percent/100)
	}
}

func TestNoSaturationBar(t *testing.T) {
	for _, c := range []struct {
		component string
		kelvin    float64
	}{
		{"CO2", 304.1282}, {"CO2", 320}, {"N2", 293.15}, {"HCN", 293.15}, {"air", 293.15}, {"", 293.15},
		{"CO2", 0}, {"CO2", -1}, {"CO2", math.NaN()}, {"CO2", math.Inf(1)},
	} {
		if bar, ok := SaturationBar(c.component, c.kelvin); ok {
			t.Errorf("%s at %v K: got %v bar", c.component, c.kelvin, bar)
		}
	}
}

func TestSaturationRisesWithTemperature(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		component := rapid.SampledFrom([]string{"C3H8", "SO2", "H2S", "CO2", "nC5H12", "HCN", "H2O", "PH3", "NO2"}).Draw(t, "component")
		kelvin := rapid.Float64Range(coldestKelvin, 299).Draw(t, "kelvin")
		a, knownA := saturation(component, kelvin)
		b, knownB := saturation(component, kelvin+1)
		if !knownA || !knownB || a <= 0 || b <= a {
			t.Fatalf("%s: %v bar at %v K, %v bar a kelvin warmer", component, a, kelvin, b)
		}
	})
}

// What has critical constants but no row is estimated: boiling points and handbook values are met within 15 %.
func TestSaturationWithoutARow(t *testing.T) {
	for component, at := range map[string]struct{ celsius, bar float64 }{
		"NO2": {21.2, 1.013}, "HCN": {25.6, 1.013}, "C3H6O": {56.1, 1.013}, "CH3OH": {64.7, 1.013}, "SF6": {20, 21.0}, "C2H2": {0, 26.7},
	} {
		bar, known := saturation(component, at.celsius+celsiusZero)
		if !known {
			t.Errorf("%s is not known", component)
		}
		near(t, component, bar, at.bar, 0.15*at.bar)
	}
	if bar, _ := saturation("H2O", 20+celsiusZero); bar > 0.02339 || bar < 0.6*0.02339 {
		t.Errorf("water may only err on the side of warning: got %v bar", bar)
	}
	if bar, known := saturation("Xe", 295); !known || !math.IsInf(bar, 1) {
		t.Errorf("supercritical xenon: got %v, %v", bar, known)
	}
}

// The table and the estimate know the same substances from different sides.
func TestEstimateAgreesWithTheRows(t *testing.T) {
	for component, line := range vapourLines() {
		bar, ok := SaturationBar(component, 268)
		if !ok {
			t.Fatalf("%s has no saturation pressure at 268 K, critical %v K", component, line.critical)
		}
		near(t, component, leeKesler(virial().Critical[component], 268), bar, 0.08*bar)
	}
}

func TestCondensationTurnsAtTheDewLimit(t *testing.T) {
	dew, _ := SaturationBar("nC5H12", 288.15)
	fraction := dew / (50 + 1.01325)
	for share, want := range map[float64]bool{0.999: false, 1.001: true} {
		risk, err := Condensation("nC5H12", share*fraction, 50, 288.15)
		if err != nil || risk != want {
			t.Errorf("at %v of the dew limit: got %v, %v", share, risk, err)
		}
	}
	for _, supercritical := range []string{"N2", "CO2"} {
		if risk, err := Condensation(supercritical, 1, 200, 310); err != nil || risk {
			t.Errorf("%s does not condense at 310 K: got %v, %v", supercritical, risk, err)
		}
	}
}

func TestCondensationOfNonsense(t *testing.T) {
	nan := math.NaN()
	_, err := Condensation("", nan, -1, 1e9)
	wantFields(t, err, "component", "fraction", "gauge_bar", "temperature_k")
	_, err = Condensation("CO2", 1.01, 10, 293)
	wantFields(t, err, "fraction")
	_, err = Condensation("SiH4", 0.01, 10, 293)
	wantRefused(t, err, "SiH4")
}

func TestColdRiskListsTheWorstFirst(t *testing.T) {
	mix := Mix{"air": 0.9895, "nC5H12": 0.007, "nC6H14": 0.003, "SiH4": 0.0005}
	risks, err := ColdRisk(mix, 69, 258.15, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	if len(risks) != 2 || risks[0].Component != "nC6H14" || risks[1].Component != "nC5H12" {
		t.Fatalf("got %v, want hexane before pentane", risks)
	}
	near(t, "partial pressure", risks[1].PartialBar, 0.007*70.01325, 1e-9)
	dew, _ := SaturationBar("nC5H12", 258.15)
	near(t, "saturation", risks[1].SaturationBar, dew, 1e-12)
	warm, err := ColdRisk(mix, 69, 313.15, 0.9)
	if err != nil || len(warm) != 0 {
		t.Errorf("at 40 °C: got %v, %v", warm, err)
	}
}

func TestColdRiskStartsAtItsLimit(t *testing.T) {
	dew, _ := SaturationBar("C3H8", 253.15)
	mix := Mix{"C3H8": 0.85 * dew / 51.01325}
	mix["N2"] = 1 - mix["C3H8"]
	for limit, want := range map[float64]int{0.84: 1, 0.86: 0} {
		risks, err := ColdRisk(mix, 50, 253.15, limit)
		if err != nil || len(risks) != want {
			t.Errorf("limit %v: got %v, %v", limit, risks, err)
		}
	}
}

func TestColdRiskOfNonsense(t *testing.T) {
	_, err := ColdRisk(nitrogen, math.NaN(), 0, 2)
	wantFields(t, err, "gauge_bar", "temperature_k", "limit")
	if _, err := ColdRisk(Mix{"N2": 2}, 10, 293, 0.9); problem.KindOf(err) != problem.Invalid {
		t.Errorf("got %v, want an invalid failure", err)
	}
}

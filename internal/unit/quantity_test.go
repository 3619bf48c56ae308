package unit

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
)

// refused fails unless err is an invalid problem that says what, why and the next step.
func refused(t interface {
	Helper()
	Fatalf(string, ...any)
}, err error) *problem.Error {
	t.Helper()
	e, ok := err.(*problem.Error)
	if !ok {
		t.Fatalf("want a problem, got %v", err)
	}
	if e.Kind != problem.Invalid || e.Detail == "" || e.Advice == "" {
		t.Fatalf("the refusal is not helpful: kind %q, detail %q, advice %q", e.Kind, e.Detail, e.Advice)
	}
	return e
}

func TestQuantitiesInEveryUnit(t *testing.T) {
	pressure := func(s string) (int64, error) { v, err := ParsePressure(s); return int64(v), err }
	volume := func(s string) (int64, error) { v, err := ParseVolume(s); return int64(v), err }
	flow := func(s string) (int64, error) { v, err := ParseFlow(s); return int64(v), err }
	amount := func(s string) (int64, error) { v, err := ParseAmount(s); return int64(v), err }
	duration := func(s string) (int64, error) { v, err := ParseSeconds(s); return int64(v), err }
	temperature := func(s string) (int64, error) { v, err := ParseTemperature(s); return int64(v), err }
	length := func(s string) (int64, error) { v, err := ParseLength(s); return int64(v), err }

	for _, c := range []struct {
		parse func(string) (int64, error)
		text  string
		want  int64
	}{
		{pressure, "69 bar", 6_900_000}, {pressure, "69 barg", 6_900_000}, {pressure, "69 bar(g)", 6_900_000},
		{pressure, "69BAR", 6_900_000}, {pressure, " 69 bar ", 6_900_000}, {pressure, "69,5 bar", 6_950_000},
		{pressure, "1000 psi", 6_894_757}, {pressure, "1000 PSIG", 6_894_757}, {pressure, "6.9 MPa", 6_900_000},
		{pressure, "4200 kPa", 4_200_000}, {pressure, "1 atm", 101_325}, {pressure, "0 bar", 0}, {pressure, "1000 bar", 100_000_000},
		{pressure, ".5 bar", 50_000}, {pressure, "+5 bar", 500_000}, {pressure, "250 mbar", 25_000}, {pressure, "7 Pa", 7},
		{pressure, "0,500 bar", 50_000}, {pressure, "69\u00a0bar", 6_900_000},
		{volume, "1.0 L", 1000}, {volume, "1.68 l", 1680}, {volume, "1700 mL", 1700}, {volume, "61 in3", 1000}, {volume, "4 ft3", 113_267}, {volume, "2 dm3", 2000},
		{flow, "0.4 L/min", 400}, {flow, "300 mL/min", 300}, {flow, "0.4 lpm", 400}, {flow, "30 L/h", 500},
		{amount, "25 ppm", 25_000}, {amount, "25ppm", 25_000}, {amount, "2.5 %vol", 25_000_000}, {amount, "2.5 % vol", 25_000_000},
		{amount, "18 vol %", 180_000_000}, {amount, "500 ppb", 500}, {amount, "20.9%", 209_000_000}, {amount, "100 %vol", 1_000_000_000},
		{amount, "10 µmol/mol", 10_000}, {amount, "10 μmol/mol", 10_000}, {amount, "10 umol/mol", 10_000},
		{duration, "75 s", 75}, {duration, "2 min", 120}, {duration, "1.5 h", 5400},
		{temperature, "21 C", 294_150}, {temperature, "70 F", 294_261}, {temperature, "294.15 K", 294_150}, {temperature, "-20 °C", 253_150},
		{length, "25 m", 25_000}, {length, "60 cm", 600}, {length, "10 ft", 3048}, {length, "2 in", 51}, {length, "3 mm", 3},
	} {
		got, err := c.parse(c.text)
		if err != nil || got != c.want {
			t.Errorf("%q: got %d, %v; want %d", c.text, got, err, c.want)
		}
	}
}

func TestQuantitiesThatAreRefused(t *testing.T) {
	for _, c := range []struct{ text, says string }{
		{"", "a number"}, {"bar", "a number"}, {"69", "no unit"}, {"69 ppm", "not a unit of pressure"},
		{"NaN", "a number"}, {"NaN bar", "a number"}, {"Inf bar", "a number"}, {"1e9 bar", "not a unit"}, {"0x45 bar", "not a unit"},
		{"-1 bar", "out of range"}, {"−1 bar", "a number"}, {"1000.1 bar", "out of range"},
		{"99999999999999999999999999999999 bar", "out of range"}, {strings.Repeat("9", 5000) + " bar", "too long"},
		{"６９ bar", "a number"}, {"1.000,5 bar", "a number"}, {"1,000.5 bar", "a number"}, {"1,000 bar", "comma may mean"},
		{"1.2.3 bar", "a number"}, {"--5 bar", "a number"}, {"5- bar", "a number"}, {". bar", "a number"}, {", bar", "a number"},
		{"69 bar bar", "not a unit"}, {"6/9 bar", "not a unit"}, {"\xff\xfe", "a number"}, {"69 \xff", "not a unit"},
	} {
		v, err := ParsePressure(c.text)
		if e := refused(t, err); v != 0 || !strings.Contains(e.Detail, c.says) {
			t.Errorf("%.40q: got %d, %q; want it to say %q", c.text, v, e.Detail, c.says)
		}
	}
	for _, text := range []string{"101 %vol", "50 %LEL", "25", "1 mg/m3", "-1 ppm", "1000000.001 ppm"} {
		if v, err := ParseAmount(text); v != 0 || refused(t, err) == nil {
			t.Errorf("%q is taken as %d", text, v)
		}
	}
	for _, text := range []string{"-100 C", "500 K", "200 C", "21"} {
		if v, err := ParseTemperature(text); v != 0 || refused(t, err) == nil {
			t.Errorf("%q is taken as %d", text, v)
		}
	}
}

func TestPressureOfOtherCountriesKeepsItsFigure(t *testing.T) {
	psi, err := ParsePressure("1000 psi")
	if err != nil || fmt.Sprintf("%.1f", psi.Bar()) != "68.9" {
		t.Errorf("1000 psi is %.3f bar, %v; want 68.9", psi.Bar(), err)
	}
	kpa, err := ParsePressure("4200 kPa")
	if err != nil || kpa.Bar() != 42 || float64(kpa)/1000 != 4200 {
		t.Errorf("4200 kPa is %v bar, %v; want exactly 42 and back", kpa.Bar(), err)
	}
}

func TestConversionsGiveTheNamedUnit(t *testing.T) {
	for name, c := range map[string]struct{ got, want float64 }{
		"bar": {PressureBar(69.5).Bar(), 69.5}, "litres": {VolumeLitres(1.68).Litres(), 1.68}, "L/min": {Flow(300).LitresPerMinute(), 0.3},
		"fraction": {Amount(25_000_000).Fraction(), 0.025}, "ppm": {Amount(24_600).PPM(), 24.6}, "minutes": {Seconds(75).Minutes(), 1.25},
		"kelvin": {TemperatureCelsius(21).Kelvin(), 294.15}, "celsius": {TemperatureCelsius(-10).Celsius(), -10}, "metres": {Length(600).Metres(), 0.6},
	} {
		if math.Abs(c.got-c.want) > 1e-9 {
			t.Errorf("%s: got %v, want %v", name, c.got, c.want)
		}
	}
}

func TestPressureRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Pressure(rapid.Int64Range(0, 100_000_000).Draw(t, "pascals"))
		if back := PressureBar(p.Bar()); back != p {
			t.Fatalf("%d Pa by bar is %d", p, back)
		}
		for _, text := range []string{
			fmt.Sprintf("%d Pa", p),
			fmt.Sprintf("%d.%03d kPa", p/1000, p%1000),
			fmt.Sprintf("%d.%05d bar", p/100_000, p%100_000),
			fmt.Sprintf("%d.%06d MPa", p/1_000_000, p%1_000_000),
		} {
			if back, err := ParsePressure(text); err != nil || back != p {
				t.Fatalf("%q is %d, %v; want %d", text, back, err, p)
			}
		}
	})
}

func TestAmountRoundTripsAndKeepsItsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Int64Range(0, 1_000_000_000).Draw(t, "ppb")
		for _, text := range []string{fmt.Sprintf("%d ppb", a), fmt.Sprintf("%d.%03d ppm", a/1000, a%1000), fmt.Sprintf("%d.%07d %%vol", a/10_000_000, a%10_000_000)} {
			if back, err := ParseAmount(text); err != nil || int64(back) != a {
				t.Fatalf("%q is %d, %v; want %d", text, back, err, a)
			}
		}
		if f := Amount(a).Fraction(); f < 0 || f > 1 || math.Abs(f*1e6-Amount(a).PPM()) > 1e-6 {
			t.Fatalf("%d ppb is the fraction %v and %v ppm", a, f, Amount(a).PPM())
		}
	})
}

func TestTemperatureRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := Temperature(rapid.Int64Range(200_000, 400_000).Draw(t, "millikelvins"))
		if back := TemperatureCelsius(k.Celsius()); back != k {
			t.Fatalf("%d mK by Celsius is %d", k, back)
		}
		if back, err := ParseTemperature(fmt.Sprintf("%.3f C", k.Celsius())); err != nil || back != k {
			t.Fatalf("%d mK as text is %d, %v", k, back, err)
		}
	})
}

func TestEveryUnitThatIsOfferedIsKnown(t *testing.T) {
	for _, f := range []family{pressures, volumes, flows, amounts, durations, temperatures, lengths} {
		for _, offer := range strings.Split(f.offer, ", ") {
			if _, err := parse[int64](strings.Trim(offer, `"`), f); err != nil {
				t.Errorf("%s offers %s: %v", f.what, offer, err)
			}
		}
		owner := map[string]int{}
		for i, s := range f.scales {
			for _, name := range s.names {
				if other, taken := owner[name]; taken && other != i {
					t.Errorf("%s: %q names two units", f.what, name)
				}
				owner[name] = i
			}
		}
	}
}

// One rule for every figure that is typed, with a unit, with a currency or bare: a comma is a decimal mark where it can be
// nothing else, and asked about where it may part thousands.
func TestTheCommaIsReadAlikeEverywhere(t *testing.T) {
	for text, want := range map[string]string{"0,3": "0.3", "1,15": "1.15", "-0,5": "-0.5", "0,050": "0.050", "12,5": "12.5", "1234,5678": "1234.5678", " 7 ": "7", "2.5": "2.5", ",5": ".5"} {
		if got, err := Decimal(text); err != nil || got != want {
			t.Errorf("%q: %q, %v; want %q", text, got, err, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		whole, decimals := rapid.IntRange(0, 90).Draw(t, "whole"), rapid.StringMatching(`[0-9]{1,5}`).Draw(t, "decimals")
		comma, stop := fmt.Sprintf("%d,%s", whole, decimals), fmt.Sprintf("%d.%s", whole, decimals)
		ambiguous := len(decimals) == 3 && whole != 0
		bare, err := Decimal(comma)
		if (err != nil) != ambiguous || err == nil && bare != stop {
			t.Fatalf("%s is %q, %v", comma, bare, err)
		}
		for unit, parse := range map[string]func(string) (int64, error){
			"bar":   func(s string) (int64, error) { v, err := ParsePressure(s); return int64(v), err },
			"L/min": func(s string) (int64, error) { v, err := ParseFlow(s); return int64(v), err },
			"L":     func(s string) (int64, error) { v, err := ParseVolume(s); return int64(v), err },
			"%vol":  func(s string) (int64, error) { v, err := ParseAmount(s); return int64(v), err },
			"min":   func(s string) (int64, error) { v, err := ParseSeconds(s); return int64(v), err },
			"m":     func(s string) (int64, error) { v, err := ParseLength(s); return int64(v), err },
			"EUR":   func(s string) (int64, error) { v, err := ParseMoney(s); return v.Minor, err },
		} {
			got, err := parse(comma + " " + unit)
			want, plain := parse(stop + " " + unit)
			switch {
			case ambiguous && (err == nil || !strings.Contains(err.Error(), "comma may mean")):
				t.Fatalf("%s %s is taken as %d, %v", comma, unit, got, err)
			case !ambiguous && (got != want || (err == nil) != (plain == nil)):
				t.Fatalf("%s %s is %d, %v; with a point %d, %v", comma, unit, got, err, want, plain)
			}
		}
	})
}

// Package unit parses, keeps and prints quantities with their units, dates and money. Each kind is an exact integer of one unit.
package unit

import (
	"fmt"
	"math"
	"math/big"
	"strings"

	"spanroom/internal/problem"
)

// The kinds: exact integers of the unit that each names.
type (
	// Pressure is gauge pressure in pascals.
	Pressure int64
	// Volume is a volume in millilitres.
	Volume int64
	// Flow is a flow in millilitres per minute.
	Flow int64
	// Amount is an amount-of-substance fraction in parts per billion.
	Amount int64
	// Seconds is a duration in seconds.
	Seconds int64
	// Temperature is a thermodynamic temperature in millikelvins.
	Temperature int64
	// Length is a length in millimetres.
	Length int64
)

// StandardAtmosphere is the pressure of the air, in bar, wherever no other is known.
const StandardAtmosphere = 1.01325

// Bar gives gauge pressure in bar.
func (p Pressure) Bar() float64 { return float64(p) / 1e5 }

// PressureBar makes a pressure from bar, rounded to the pascal.
func PressureBar(bar float64) Pressure { return Pressure(math.Round(bar * 1e5)) }

// Litres gives a volume in litres.
func (v Volume) Litres() float64 { return float64(v) / 1e3 }

// VolumeLitres makes a volume from litres, rounded to the millilitre.
func VolumeLitres(l float64) Volume { return Volume(math.Round(l * 1e3)) }

// LitresPerMinute gives a flow in L/min.
func (f Flow) LitresPerMinute() float64 { return float64(f) / 1e3 }

// Fraction gives an amount as a fraction of one.
func (a Amount) Fraction() float64 { return float64(a) / 1e9 }

// PPM gives an amount in parts per million.
func (a Amount) PPM() float64 { return float64(a) / 1e3 }

// Minutes gives a duration in minutes.
func (s Seconds) Minutes() float64 { return float64(s) / 60 }

// Kelvin gives a temperature in kelvins.
func (t Temperature) Kelvin() float64 { return float64(t) / 1e3 }

// Celsius gives a temperature in degrees Celsius.
func (t Temperature) Celsius() float64 { return t.Kelvin() - 273.15 }

// TemperatureCelsius makes a temperature from degrees Celsius.
func TemperatureCelsius(c float64) Temperature { return Temperature(math.Round((c + 273.15) * 1e3)) }

// Metres gives a length in metres.
func (l Length) Metres() float64 { return float64(l) / 1e3 }

// scale is one unit that people type: factor and offset lead to the kind's own integer unit.
type scale struct {
	names  []string
	factor *big.Rat
	offset *big.Rat
}

type family struct {
	what   string // what it is called in an error
	offer  string // the units to offer
	scales []scale
	min    *big.Rat // in the integer unit; nil where there is no bound
	max    *big.Rat
}

// ParsePressure reads gauge pressure, such as "69 bar", "1000 psi" or "4200 kPa".
func ParsePressure(text string) (Pressure, error) { return parse[Pressure](text, pressures) }

// ParseVolume reads a volume, such as "1.0 L", "1700 mL" or "61 in3".
func ParseVolume(text string) (Volume, error) { return parse[Volume](text, volumes) }

// ParseFlow reads a flow, such as "0.4 L/min" or "300 mL/min".
func ParseFlow(text string) (Flow, error) { return parse[Flow](text, flows) }

// ParseAmount reads an amount fraction, such as "25 ppm", "2.5 %vol" or "500 ppb".
func ParseAmount(text string) (Amount, error) { return parse[Amount](text, amounts) }

// ParseSeconds reads a duration, such as "75 s" or "2 min".
func ParseSeconds(text string) (Seconds, error) { return parse[Seconds](text, durations) }

// ParseTemperature reads a temperature, such as "21 C", "70 F" or "294.15 K".
func ParseTemperature(text string) (Temperature, error) {
	return parse[Temperature](text, temperatures)
}

// ParseLength reads a length, such as "25 m", "60 cm" or "10 ft".
func ParseLength(text string) (Length, error) { return parse[Length](text, lengths) }

func parse[K ~int64](text string, f family) (K, error) {
	number, name, err := split(text)
	if err != nil {
		return 0, problem.New(problem.Invalid, fmt.Sprintf("%q is not %s: %s", shorten(text), f.what, err), "write it like "+f.offer)
	}
	if name == "" {
		return 0, problem.New(problem.Invalid, fmt.Sprintf("%q has no unit", shorten(text)), "say the unit: "+f.offer)
	}
	s, ok := f.find(name)
	if !ok {
		return 0, problem.New(problem.Invalid, fmt.Sprintf("%q is not a unit of %s", shorten(name), strings.TrimPrefix(strings.TrimPrefix(f.what, "a "), "an ")), "use one of "+f.offer)
	}
	v := new(big.Rat).Mul(number, s.factor)
	if s.offset != nil {
		v.Add(v, s.offset)
	}
	if f.min != nil && v.Cmp(f.min) < 0 || f.max != nil && v.Cmp(f.max) > 0 {
		return 0, problem.New(problem.Invalid, fmt.Sprintf("%q is out of range for %s", shorten(text), f.what), "check the figure and its unit")
	}
	return K(nearest(v)), nil
}

func (f family) find(name string) (scale, bool) {
	for _, s := range f.scales {
		for _, n := range s.names {
			if n == name {
				return s, true
			}
		}
	}
	folded := strings.ToLower(strings.ReplaceAll(name, " ", ""))
	for _, s := range f.scales {
		for _, n := range s.names {
			if strings.ToLower(n) == folded {
				return s, true
			}
		}
	}
	return scale{}, false
}

// nearest rounds half up; no quantity is below zero in its own unit.
func nearest(r *big.Rat) int64 {
	sum := new(big.Rat).Add(r, big.NewRat(1, 2))
	return new(big.Int).Quo(sum.Num(), sum.Denom()).Int64()
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

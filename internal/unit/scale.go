package unit

import (
	"errors"
	"fmt"
	"math/big"
	"strings"

	"spanroom/internal/problem"
)

func rat(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("unit: bad constant " + s)
	}
	return r
}

func of(factor string, names ...string) scale { return scale{names: names, factor: rat(factor)} }

// Bounds are those of anything that could stand in a storeroom, with room to spare; they also keep every kind inside an int64.
var (
	pressures = family{what: "a pressure", offer: `"69 bar", "1000 psi", "6.9 MPa", "4200 kPa"`, min: rat("0"), max: rat("100000000"), scales: []scale{
		of("100000", "bar", "barg", "bar(g)"), of("100", "mbar"), of("1", "Pa"), of("1000", "kPa"), of("1000000", "MPa"),
		of("6894757293168/1000000000", "psi", "psig", "lbf/in2"), of("101325", "atm"),
	}}
	volumes = family{what: "a volume", offer: `"1.0 L", "1700 mL"`, min: rat("0"), max: rat("10000000000"), scales: []scale{
		of("1000", "L", "l", "litre", "litres", "liter", "liters", "dm3"), of("1", "mL", "ml", "cm3", "cc"), of("1000000", "m3"),
		of("16387064/1000000", "in3"), of("28316846592/1000000", "ft3"),
	}}
	flows = family{what: "a flow", offer: `"0.3 L/min", "300 mL/min"`, min: rat("0"), max: rat("1000000"), scales: []scale{
		of("1000", "L/min", "l/min", "lpm"), of("1", "mL/min", "ml/min", "cc/min"), of("1000/60", "L/h", "l/h"),
	}}
	amounts = family{what: "an amount", offer: `"25 ppm", "2.5 %vol", "500 ppb"`, min: rat("0"), max: rat("1000000000"), scales: []scale{
		of("1000", "ppm", "umol/mol", "µmol/mol", "μmol/mol", "ppmv"), of("10000000", "%vol", "vol%", "%", "%mol", "mol%", "cmol/mol"),
		of("1", "ppb", "nmol/mol"),
	}}
	durations = family{what: "a duration", offer: `"75 s", "2 min"`, min: rat("0"), max: rat("31622400"), scales: []scale{
		of("1", "s", "sec", "second", "seconds"), of("60", "min", "minute", "minutes"), of("3600", "h", "hour", "hours"),
	}}
	temperatures = family{what: "a temperature", offer: `"21 C", "70 F", "294 K"`, min: rat("200000"), max: rat("400000"), scales: []scale{
		{names: []string{"C", "°C", "degC"}, factor: rat("1000"), offset: rat("273150")},
		{names: []string{"F", "°F", "degF"}, factor: rat("5000/9"), offset: rat("2298350/9")},
		of("1000", "K"),
	}}
	lengths = family{what: "a length", offer: `"25 m", "60 cm"`, min: rat("0"), max: rat("100000000"), scales: []scale{
		of("1000", "m", "metre", "metres", "meter", "meters"), of("10", "cm"), of("1", "mm"), of("3048/10", "ft"), of("254/10", "in"),
	}}
)

var errNumber = errors.New("a number and its unit are needed")

// split parts "69 bar" into its number and its unit. A decimal comma is read as a point when it is the only mark.
func split(text string) (*big.Rat, string, error) {
	s := strings.TrimSpace(text)
	if len(s) > 60 {
		return nil, "", errors.New("it is too long")
	}
	end := 0
	for end < len(s) && strings.IndexByte("+-0123456789.,", s[end]) >= 0 {
		end++
	}
	n, err := number(s[:end])
	if err != nil {
		return nil, "", err
	}
	return n, strings.TrimSpace(s[end:]), nil
}

var errComma = errors.New("the comma may mean thousands or a decimal; write a point or no mark")

// point writes the decimal comma of a number as a point. A comma before exactly three digits may part thousands instead, unless
// nothing but zeros stands before it; what has other marks too stays as it is.
func point(s string) (string, error) {
	whole, decimals, comma := strings.Cut(s, ",")
	switch {
	case !comma || strings.ContainsAny(decimals, ",.") || strings.Contains(whole, "."):
		return s, nil
	case len(decimals) == 3 && strings.TrimLeft(whole, "+-0") != "":
		return s, errComma
	}
	return whole + "." + decimals, nil
}

// Decimal gives a bare number with a point where somebody typed a decimal comma, by the same rule as the quantities.
func Decimal(text string) (string, error) {
	s, err := point(strings.TrimSpace(text))
	if err != nil {
		return s, problem.New(problem.Invalid, fmt.Sprintf("%q can be read in two ways: %s", shorten(text), err), "write it like 2.5, or 2500")
	}
	return s, nil
}

func number(s string) (*big.Rat, error) {
	s, err := point(s)
	if err != nil {
		return nil, err
	}
	if s == "" || strings.Contains(s, ",") || strings.ContainsAny(s[1:], "+-") {
		return nil, errNumber
	}
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		return nil, errNumber
	}
	return r, nil
}

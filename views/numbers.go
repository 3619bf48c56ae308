package views

import (
	"math"
	"reflect"
	"strconv"
	"strings"
)

// thin parts the thousands: it is no comma and no point, so that nobody reads 1,260 as one and a quarter.
const thin = "\u202f"

// missing stands where a number is not known.
const missing = "–"

// number gives a number of any kind, or the number that a text says.
func number(v any) (float64, bool) {
	r := plain(v)
	if !r.IsValid() {
		return 0, false
	}
	var n float64
	switch {
	case r.CanInt():
		n = float64(r.Int())
	case r.CanUint():
		n = float64(r.Uint())
	case r.CanFloat():
		n = r.Float()
	case r.Kind() == reflect.String:
		var err error
		if n, err = strconv.ParseFloat(r.String(), 64); err != nil {
			return 0, false
		}
	default:
		return 0, false
	}
	return n, !math.IsNaN(n) && !math.IsInf(n, 0)
}

// num writes a number with fixed decimals and parted thousands; what is no number is given as it stands.
func num(decimals int, v any) string {
	n, ok := number(v)
	if !ok {
		if s := text(v); s != "" && plain(v).Kind() == reflect.String {
			return s
		}
		return missing
	}
	return grouped(strconv.FormatFloat(n, 'f', max(decimals, 0), 64))
}

// grouped parts the thousands of a plain decimal text, writes a true minus, and drops the minus of a zero.
func grouped(s string) string {
	sign := ""
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		s = rest
		if strings.Trim(s, "0.") != "" {
			sign = "−"
		}
	}
	whole, fraction, decimal := strings.Cut(s, ".")
	for at := len(whole) - 3; at > 0; at -= 3 {
		whole = whole[:at] + thin + whole[at:]
	}
	if decimal {
		return sign + whole + "." + fraction
	}
	return sign + whole
}

// litres writes a volume of gas to three figures, as fine as anybody can use it: 3.60 L, 66.1 L, 1 204 L.
func litres(v any) string {
	n, ok := number(v)
	switch size := math.Abs(n); {
	case !ok:
		return missing
	case size < 9.995:
		return num(2, n) + " L"
	case size < 99.95:
		return num(1, n) + " L"
	default:
		return num(0, n) + " L"
	}
}

// money parts the thousands of an amount such as "1260.00 EUR".
func money(v any) string {
	amount, currency, ok := strings.Cut(text(v), " ")
	if _, isNumber := number(amount); !ok || !isNumber {
		return text(v)
	}
	return grouped(amount) + " " + currency
}

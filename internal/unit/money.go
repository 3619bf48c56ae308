package unit

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"spanroom/internal/problem"
)

// Money is an exact amount in minor units (cents) of a currency by its ISO 4217 code.
type Money struct {
	Minor    int64
	Currency string
}

var moneyText = regexp.MustCompile(`^(\d{1,12})(?:[.,](\d{1,2}))? ?([A-Z]{3})$`)

// ParseMoney reads a price such as "78.00 EUR"; a decimal comma is read as in the quantities.
func ParseMoney(text string) (Money, error) {
	amount := strings.TrimRight(strings.TrimSpace(text), " ABCDEFGHIJKLMNOPQRSTUVWXYZ")
	if _, err := point(amount); err != nil {
		return Money{}, problem.New(problem.Invalid, fmt.Sprintf("%q is not a price: %s", shorten(text), err), `write it like "78.00 EUR"`)
	}
	m := moneyText.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return Money{}, problem.New(problem.Invalid, fmt.Sprintf("%q is not a price", shorten(text)), `write it like "78.00 EUR"`)
	}
	whole, err := strconv.ParseInt(m[1], 10, 64)
	if err != nil {
		return Money{}, problem.New(problem.Invalid, fmt.Sprintf("%q is not a price", shorten(text)), `write it like "78.00 EUR"`)
	}
	return Money{Minor: whole*100 + int64(atoi((m[2] + "00")[:2])), Currency: m[3]}, nil
}

// String gives the amount with two places and its currency, or "" for the zero Money.
func (m Money) String() string {
	if m.Currency == "" && m.Minor == 0 {
		return ""
	}
	sign, minor := "", m.Minor
	if minor < 0 {
		sign, minor = "-", -minor
	}
	return fmt.Sprintf("%s%d.%02d %s", sign, minor/100, minor%100, m.Currency)
}

// MarshalText makes the amount a text in JSON, "" where there is none.
func (m Money) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads what MarshalText wrote.
func (m *Money) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*m = Money{}
		return nil
	}
	amount, negative := strings.CutPrefix(string(text), "-")
	read, err := ParseMoney(amount)
	if err != nil {
		return err
	}
	if *m = read; negative {
		*m = read.Times(-1)
	}
	return nil
}

// Times gives n times the amount.
func (m Money) Times(n int64) Money { return Money{m.Minor * n, m.Currency} }

// Share gives the amount times a factor, rounded to the minor unit.
func (m Money) Share(factor float64) Money {
	return Money{int64(math.Round(float64(m.Minor) * factor)), m.Currency}
}

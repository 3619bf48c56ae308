package unit

import (
	"encoding/json"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestPrices(t *testing.T) {
	for text, want := range map[string]Money{
		"78.00 EUR": {7800, "EUR"}, "78 EUR": {7800, "EUR"}, "31.5 EUR": {3150, "EUR"}, "0.05 GBP": {5, "GBP"}, " 210.00USD ": {21000, "USD"},
		"999999999999.99 EUR": {99_999_999_999_999, "EUR"}, "0 EUR": {0, "EUR"},
		"78,50 EUR": {7850, "EUR"}, "31,5 EUR": {3150, "EUR"}, "0,05 GBP": {5, "GBP"},
	} {
		if got, err := ParseMoney(text); err != nil || got != want {
			t.Errorf("%q: got %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "78", "78.000 EUR", "-1 EUR", "78 eur", "78 €", "1,000 EUR", "1,260.00 EUR", "1.260,00 EUR", "78, EUR", ",50 EUR", "1e3 EUR", "NaN EUR", "７８ EUR", "9999999999999 EUR", strings.Repeat("7", 9000)} {
		got, err := ParseMoney(text)
		if got != (Money{}) {
			t.Errorf("%.40q is taken as %v", text, got)
		}
		refused(t, err)
	}
}

func TestMoneyRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := Money{rapid.Int64Range(0, 99_999_999_999_999).Draw(t, "minor"), rapid.StringMatching(`[A-Z]{3}`).Draw(t, "currency")}
		if got, err := ParseMoney(m.String()); err != nil || got != m {
			t.Fatalf("%v reads as %v, %v", m, got, err)
		}
		m = m.Times(rapid.SampledFrom([]int64{1, -1}).Draw(t, "sign"))
		var back Money
		if raw, err := json.Marshal(m); err != nil || json.Unmarshal(raw, &back) != nil || back != m {
			t.Fatalf("%v goes through JSON as %v, %v", m, back, err)
		}
	})
}

func TestMoneyInJSON(t *testing.T) {
	for text, want := range map[string]Money{`"78.00 EUR"`: {7800, "EUR"}, `"-0.05 EUR"`: {-5, "EUR"}, `""`: {}} {
		back := Money{1, "USD"}
		if err := json.Unmarshal([]byte(text), &back); err != nil || back != want {
			t.Errorf("%s: %v, %v", text, back, err)
		}
		if raw, err := json.Marshal(want); err != nil || string(raw) != text {
			t.Errorf("%v is written %s, %v", want, raw, err)
		}
	}
	for _, text := range []string{`"78"`, `"--1.00 EUR"`, `78`, `"1,000 EUR"`} {
		if back := (Money{1, "USD"}); json.Unmarshal([]byte(text), &back) == nil {
			t.Errorf("%s is taken as %v", text, back)
		}
	}
}

func TestMoneyArithmetic(t *testing.T) {
	price := Money{21000, "EUR"}
	for name, c := range map[string]struct{ got, want string }{
		"six":            {price.Times(6).String(), "1260.00 EUR"},
		"expected waste": {price.Share(2.36).String(), "495.60 EUR"},
		"half a cent up": {Money{1, "EUR"}.Share(0.5).String(), "0.01 EUR"},
		"taken back":     {price.Times(-1).String(), "-210.00 EUR"},
		"less than one":  {Money{-5, "EUR"}.String(), "-0.05 EUR"},
		"none":           {Money{}.String(), ""},
		"free":           {Money{0, "EUR"}.String(), "0.00 EUR"},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %q, want %q", name, c.got, c.want)
		}
	}
}

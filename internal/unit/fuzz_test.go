package unit

import (
	"strings"
	"testing"
	"unicode/utf8"
)

// A parse gives a value within its bounds, or a refusal that can be shown to a person.
func answers(t *testing.T, text string, err error, within bool) {
	t.Helper()
	if err == nil {
		if !within {
			t.Fatalf("%q gives a value out of bounds", text)
		}
		return
	}
	if e := refused(t, err); !utf8.ValidString(e.Detail) || len(e.Detail) > 1000 {
		t.Fatalf("%q: the detail cannot be shown: %.80q", text, e.Detail)
	}
}

func seed(f *testing.F, texts ...string) {
	for _, text := range append(texts, "", "NaN", "−1", "６９ bar", "1.000,5", "\xff", strings.Repeat("9", 500)) {
		f.Add(text)
	}
}

func FuzzParsePressure(f *testing.F) {
	seed(f, "69 bar", "1000 psi", "4200 kPa", "1e9 bar", "-1 bar", "1,000 bar", ".5 MPa", "99999999999999999999 Pa", "69")
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ParsePressure(text)
		answers(t, text, err, p >= 0 && p.Bar() <= 1000)
	})
}

func FuzzParseAmount(f *testing.F) {
	seed(f, "25 ppm", "25ppm", "2.5 %vol", "500 ppb", "10 µmol/mol", "101 %vol", "50 %LEL", "25,000 ppm")
	f.Fuzz(func(t *testing.T, text string) {
		a, err := ParseAmount(text)
		answers(t, text, err, a >= 0 && a.Fraction() <= 1)
	})
}

func FuzzParseDate(f *testing.F) {
	seed(f, "2027-04-05", "05/04/27", "04/2027", "5 Apr 2027", "2027-02-29", "31.12.99", "0000-00-00", "9999-99-99")
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDate(text)
		answers(t, text, err, d >= "1900-01-01" && d <= "2199-12-31" && DateOf(d.Time()) == d)
	})
}

func FuzzParseTag(f *testing.F) {
	seed(f, string(MakeTag([TagBodyLength]byte{1, 2, 3, 4, 5, 6, 7})), "7F3K-2ABC", "7f3k 2abc", "--------", "ſſſſſſſſ")
	f.Fuzz(func(t *testing.T, text string) {
		tag, err := ParseTag(text)
		again, errAgain := ParseTag(string(tag))
		answers(t, text, err, len(tag) == TagBodyLength+2 && errAgain == nil && again == tag)
	})
}

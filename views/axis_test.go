package views

import (
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestAxisStep(t *testing.T) {
	for _, c := range []struct {
		most, marks, want float64
		digits            int
	}{
		{5, 6, 1, 0}, {5.5, 6, 1, 0}, {6.1, 6, 2, 0}, {0.0012, 6, 0.0002, 4}, {26, 5, 10, 0}, {0, 6, 1, 0},
	} {
		got := axisStep(c.most, c.marks)
		if diff := got - c.want; diff > 1e-12 || diff < -1e-12 || axisDigits(got) != c.digits {
			t.Errorf("up to %g: every %g with %d decimals, want %g with %d", c.most, got, axisDigits(got), c.want, c.digits)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		most, marks := rapid.Float64Range(1e-6, 1e9).Draw(t, "most"), float64(rapid.IntRange(2, 10).Draw(t, "marks"))
		if n := most / axisStep(most, marks); n > marks*(1+1e-6) || n < marks/2.5*(1-1e-6) {
			t.Fatalf("%g marks up to %g", n, most)
		}
	})
}

func TestDaysBetween(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     float64
	}{
		{"2027-03-03", "2027-03-10", 7}, {"2027-03-10", "2027-03-03", -7}, {"1900-01-01", "2199-12-31", 109_572}, {"2027-03-03", "soon", 0}, {"", "2027-03-03", 0},
	} {
		if got := daysBetween(c.from, c.to); got != c.want {
			t.Errorf("%s to %s: %g days, want %g", c.from, c.to, got, c.want)
		}
	}
}

func TestWordsStayInThePicture(t *testing.T) {
	for _, c := range []struct {
		x    float64
		want pictureWord
	}{
		{10, pictureWord{X: 15, Text: "0123456789", Anchor: "start"}},
		{190, pictureWord{X: 185, Text: "0123456789", Anchor: "end"}},
	} {
		if got := beside(c.x, 5, 0, 200, 10, "0123456789"); got != c.want {
			t.Errorf("at %g: %+v, want %+v", c.x, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-z %]{1,38}`).Draw(t, "text")
		w := beside(rapid.Float64Range(0, 360).Draw(t, "x"), 5, 0, 360, 14, text)
		width := letterWidth * 14 * float64(utf8.RuneCountInString(text))
		left, right := w.X, w.X+width
		if w.Anchor == "end" {
			left, right = w.X-width, w.X
		}
		if left < -0.05 || right > 360.05 {
			t.Fatalf("%q from %g to %g", text, left, right)
		}
	})
}

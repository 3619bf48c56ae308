package views

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestGasBarSentence(t *testing.T) {
	for _, c := range []struct {
		pairs []any
		want  string
	}{
		{[]any{"usable", 66.1, "low", 60.4, "heel", 2.0, "full", 68.1}, "66.1 L usable, at least 60.4 L, of 68.1 L when full; 2.00 L left below minimum pressure"},
		{[]any{"usable", 3.6, "low", 2.1, "reference", "70 °F and 1 atm"}, "3.60 L usable, at least 2.10 L (litres at 70 °F and 1 atm)"},
		{[]any{"usable", 0, "low", -1}, "0.00 L usable, at least 0.00 L"},
		{[]any{"usable", 5, "low", 9}, "5.00 L usable, at least 5.00 L"},
		{[]any{"usable", nil, "low", 9}, "usable litres are not known"},
	} {
		g, err := newGasBar(c.pairs...)
		if err != nil {
			t.Fatal(err)
		}
		if got := g.Sentence(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// A full cylinder of 68 L with 2 L of heel, 33 usable, 26.4 in any case, on a bar of 396 inner units.
func TestGasBarMeasures(t *testing.T) {
	g, err := newGasBar("usable", 33.0, "low", 26.4, "heel", 2.0, "full", 66.0)
	if err != nil {
		t.Fatal(err)
	}
	got := []float64{g.HeelEnd(), g.CertainWidth(), g.LowEnd(), g.UncertainWidth()}
	for i, want := range []float64{14, 158.4, 172.4, 39.6} { // six units a litre from 2 on
		if got[i] != want {
			t.Errorf("measures %v, want %v at %d", got, want, i)
		}
	}
}

var coordinate = regexp.MustCompile(`[ML](\S+?) ([\d.]+)`)

func TestGasBarStaysInItsFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		litres := rapid.Float64Range(0, 5000)
		g, err := newGasBar("usable", litres.Draw(t, "usable"), "low", litres.Draw(t, "low"), "heel", litres.Draw(t, "heel"), "full", litres.Draw(t, "full"))
		if err != nil {
			t.Fatal(err)
		}
		inner := gasWidth - gasEdge
		if g.HeelEnd() < gasEdge || g.LowEnd() < g.HeelEnd() || g.CertainWidth() < 0 || g.UncertainWidth() < 0 || g.LowEnd()+g.UncertainWidth() > inner+0.1 {
			t.Fatalf("heel to %g, certain %g, low at %g, uncertain %g", g.HeelEnd(), g.CertainWidth(), g.LowEnd(), g.UncertainWidth())
		}
		for _, m := range coordinate.FindAllStringSubmatch(g.Hatch(), -1) {
			x, errX := strconv.ParseFloat(m[1], 64)
			y, errY := strconv.ParseFloat(m[2], 64)
			if errX != nil || errY != nil || x < gasEdge || x > g.HeelEnd()+0.05 || y < gasEdge || y > gasHeight-gasEdge {
				t.Fatalf("the hatching leaves the heel at %s (heel ends at %g)", m[0], g.HeelEnd())
			}
		}
	})
}

func TestGasBarHatchesTheHeelAlone(t *testing.T) {
	without, err := newGasBar("usable", 10, "low", 8)
	if err != nil {
		t.Fatal(err)
	}
	with, err := newGasBar("usable", 10, "low", 8, "heel", 5)
	if err != nil {
		t.Fatal(err)
	}
	if without.Hatch() != "" || strings.Count(with.Hatch(), "M") < 10 {
		t.Errorf("without a heel %q, with one %q", without.Hatch(), with.Hatch())
	}
}

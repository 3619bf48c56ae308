package catalogue_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/problem"
)

func TestLevelsAsTyped(t *testing.T) {
	for text, want := range map[string]fit.Level{
		"25 ppm":       {Amount: 25_000, Given: true},
		"2.5 %vol":     {Amount: 25_000_000, Given: true},
		" 2,5 vol% ":   {Amount: 25_000_000, Given: true},
		"50 %LEL":      {LEL: 50, InLEL: true, Given: true},
		"50%lel":       {LEL: 50, InLEL: true, Given: true},
		"12,5 % LEL":   {LEL: 12.5, InLEL: true, Given: true},
		"57.5 %LFL":    {LEL: 57.5, InLEL: true, Given: true},
		"100 %LEL":     {LEL: 100, InLEL: true, Given: true},
		"0.0000001 % ": {Amount: 1, Given: true},
	} {
		if got, err := catalogue.ParseLevel(text); err != nil || got != want {
			t.Errorf("%q: %+v, %v, want %+v", text, got, err, want)
		}
	}
	for text, says := range map[string]string{
		"": "not an amount", "50": "no unit", "50 LEL": "not a unit", "%LEL": "from 0 to 100 %LEL", "120 %LEL": "from 0 to 100 %LEL", "-5 %LEL": "from 0 to 100 %LEL",
		"50 ppm %LEL": "from 0 to 100 %LEL", "5 %LEL %LEL": "from 0 to 100 %LEL", "120 %vol": "out of range", "1e3 %LEL": "from 0 to 100 %LEL", "50 %LEL m": "not a unit",
	} {
		level, err := catalogue.ParseLevel(text)
		if problem.KindOf(err) != problem.Invalid || level != (fit.Level{}) || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %+v, %v, want %q", text, level, err, says)
		}
	}
}

// What a level says of itself is read as the same again, as far as it was written out.
func TestLevelsReadTheirOwnWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := fmt.Sprintf("%d.%d", rapid.IntRange(0, 99).Draw(t, "whole"), rapid.IntRange(1, 9).Draw(t, "tenths"))
		level, err := catalogue.ParseLevel(number + " " + rapid.SampledFrom([]string{"ppm", "%vol", "%LEL"}).Draw(t, "unit"))
		if err != nil {
			t.Fatal(err)
		}
		again, err := catalogue.ParseLevel(level.Words())
		if err != nil || again.Amount != level.Amount || math.Abs(again.LEL-level.LEL) > 1e-9 || again.InLEL != level.InLEL || !again.Given {
			t.Fatalf("%s: %+v became %+v, %v", level.Words(), level, again, err)
		}
	})
}

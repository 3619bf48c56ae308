package store

import (
	"encoding/json"
	"testing"

	"github.com/gowebpki/jcs"
	"pgregory.net/rapid"

	"spanroom/internal/unit"
	"spanroom/models"
)

// The short way to the canonical form gives what the library of the standard gives, whatever the texts.
func TestCanonicalOfIsTheStandardsForm(t *testing.T) {
	awkward := rapid.SampledFrom([]string{"", "plain", "<b>&amp;</b>", "a\"b\\c", "\u2028\u2029", "tab\tline\n", "\x00\x1f\x7f", "€ ☃ 😀", `\\u0041`, "\xff"})
	number := rapid.Int64Range(-1<<53, 1<<53)
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(awkward, rapid.String())
		reverses := number.Draw(t, "reverses")
		for _, v := range []any{
			hashed{After: text.Draw(t, "after"), By: text.Draw(t, "by"), Reason: text.Draw(t, "reason"), Seq: number.Draw(t, "seq"), Reverses: &reverses},
			cylinderState{Tag: unit.Tag(text.Draw(t, "tag")), Serial: text.Draw(t, "serial"), Item: number.Draw(t, "item"), Place: &reverses},
		} {
			short, err := canonicalOf(v)
			if err != nil {
				t.Fatal(err)
			}
			raw, err := json.Marshal(v)
			if err != nil {
				t.Fatal(err)
			}
			long, err := jcs.Transform(raw)
			if err != nil {
				t.Fatal(err)
			}
			if short != string(long) {
				t.Fatalf("short way %s\nlibrary   %s", short, long)
			}
		}
	})
}

func BenchmarkHashOf(b *testing.B) {
	state, err := stateOf(models.Cylinder{Tag: "7F3K-2ABW", Gauge: "digital", PressureSource: "measured"})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := hashOf(models.Entry{Seq: 7, Kind: "check_out", Subject: "cylinder:7F3K-2ABW", Before: state, After: state}); err != nil {
			b.Fatal(err)
		}
	}
}

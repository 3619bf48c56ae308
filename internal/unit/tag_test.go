package unit

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestCheckCharacterOfThePublishedExample(t *testing.T) {
	if got := check3736("A12425GABC1234002"); got != 'M' {
		t.Errorf("got %q, want M", got)
	}
}

func anyTag(t *rapid.T) Tag {
	return MakeTag([TagBodyLength]byte(rapid.SliceOfN(rapid.Byte(), TagBodyLength, TagBodyLength).Draw(t, "random")))
}

func TestTagsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tag := anyTag(t)
		plain := strings.ReplaceAll(string(tag), "-", "")
		if len(plain) != TagBodyLength+1 || strings.Trim(plain[:TagBodyLength], tagBody) != "" {
			t.Fatalf("%q is not made of the body's characters", tag)
		}
		for _, typed := range []string{string(tag), plain, strings.ToLower(string(tag)), " " + plain[:2] + " " + plain[2:] + "\n"} {
			if got, err := ParseTag(typed); err != nil || got != tag {
				t.Fatalf("%q reads as %q, %v; want %q", typed, got, err, tag)
			}
		}
	})
}

func TestTagCatchesEverySingleWrongCharacter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plain := strings.ReplaceAll(string(anyTag(t)), "-", "")
		for at := range plain {
			for _, wrong := range tagAlphabet {
				typed := plain[:at] + string(wrong) + plain[at+1:]
				if _, err := ParseTag(typed); typed != plain && err == nil {
					t.Fatalf("%q passes for %q", typed, plain)
				}
			}
		}
	})
}

func TestTagCatchesEverySwapOfNeighbours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plain := strings.ReplaceAll(string(anyTag(t)), "-", "")
		for at := 1; at < len(plain); at++ {
			typed := plain[:at-1] + plain[at:at+1] + plain[at-1:at] + plain[at+1:]
			if _, err := ParseTag(typed); typed != plain && err == nil {
				t.Fatalf("%q passes for %q", typed, plain)
			}
		}
	})
}

func TestTagIsNeverBlindToASwap(t *testing.T) {
	dodged, size := 0, byte(len(tagBody))
	for first := range size {
		for second := range size {
			for third := range size {
				if blindToSwap(tagBody[first:first+1] + tagBody[second:second+1] + tagBody[third:third+1]) {
					dodged++
				}
				made := strings.ReplaceAll(string(MakeTag([TagBodyLength]byte{first, second, third, third, second, first, third})), "-", "")
				for n := 2; n <= TagBodyLength; n++ {
					if blindToSwap(made[:n]) {
						t.Fatalf("%q hides a swap at %d", made, n)
					}
				}
			}
		}
	}
	if dodged == 0 {
		t.Error("no pair is blind: the guard in MakeTag is not needed")
	}
}

func TestTagsThatAreRefused(t *testing.T) {
	good := MakeTag([TagBodyLength]byte{1, 2, 3, 4, 5, 6, 7})
	for _, c := range []struct{ text, says string }{
		{"", "not a tag"}, {"7F3K", "not a tag"}, {string(good) + "A", "not a tag"}, {"AB!D-EFGH", "not a tag"}, {"７F3K-2ABC", "not a tag"},
		{strings.Repeat("A", 100_000), "not a tag"}, {"\xff\xff\xff\xff\xff\xff\xff\xff", "not a tag"},
		{string(good[:8]) + string(tagAlphabet[(strings.IndexByte(tagAlphabet, good[8])+1)%36]), "mistyped"},
	} {
		tag, err := ParseTag(c.text)
		if e := refused(t, err); tag != "" || !strings.Contains(e.Detail, c.says) {
			t.Errorf("%.40q: got %q, %q; want it to say %q", c.text, tag, e.Detail, c.says)
		}
	}
}

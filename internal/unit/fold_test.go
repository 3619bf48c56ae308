package unit

import (
	"testing"

	"pgregory.net/rapid"
)

func TestFoldPutsTheSameLabelIntoOneForm(t *testing.T) {
	for _, c := range []struct{ a, b string }{
		{"7K-2206", "  7k-2206\t"},
		{"7K-2206", "７Ｋ－２２０６"},      // full width
		{"7K 2206", "7k\u00a02206"}, // no-break space
		{"ﬁ-1", "FI-1"},
	} {
		if Fold(c.a) != Fold(c.b) {
			t.Errorf("%q and %q fold to %q and %q", c.a, c.b, Fold(c.a), Fold(c.b))
		}
	}
	for _, c := range []struct{ a, b string }{{"7K-2206", "7K2206"}, {"7K 2206", "7K2206"}, {"O1", "01"}} {
		if Fold(c.a) == Fold(c.b) {
			t.Errorf("%q and %q are two names, and fold into one", c.a, c.b)
		}
		if Skeleton(c.a) != Skeleton(c.b) {
			t.Errorf("%q and %q are easily mistaken, and have the skeletons %q and %q", c.a, c.b, Skeleton(c.a), Skeleton(c.b))
		}
	}
	if Skeleton("7K-2206") == Skeleton("7K-2207") {
		t.Error("two different lots have one skeleton")
	}
}

func TestFoldTwiceIsFoldOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		if once := Fold(text); Fold(once) != once {
			t.Fatalf("%q folds to %q, and that to %q", text, once, Fold(once))
		}
		if Skeleton(Fold(text)) != Skeleton(text) {
			t.Fatalf("%q and its folded form have two skeletons", text)
		}
	})
}

package fit

import "testing"

func TestWeights(t *testing.T) {
	for _, c := range []struct {
		shown, cylinder string
		want            bool
	}{
		{"hexane", "CH4", true}, {"nC6H14", "C3H8", true}, {"n-hexane", "iC4H10", true}, {"Isopentane", "propane", true}, {"NH3", "CH4", true},
		{"CH4", "C3H8", false}, {"isobutane", "butane", false}, {"hydrogen", "CH4", false},
		{"kerosene", "CH4", false}, {"hexane", "mystery", false}, {"", "CH4", false},
	} {
		if got := heavier(c.shown, c.cylinder); got != c.want {
			t.Errorf("%s is heavier than %s: %v", c.shown, c.cylinder, got)
		}
	}
}

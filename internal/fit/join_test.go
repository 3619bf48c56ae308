package fit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
)

func oneStop(t *testing.T, found []problem.Finding, rule string, says ...string) {
	t.Helper()
	if len(found) != 1 || found[0].Rule != rule || found[0].Severity != problem.Stop || found[0].Subject == "" || found[0].Advice == "" {
		t.Fatalf("got %+v, want one stop of %s", found, rule)
	}
	for _, part := range says {
		if !strings.Contains(found[0].Text, part) {
			t.Errorf("%q does not say %q", found[0].Text, part)
		}
	}
}

func TestOutletMustBeTheInlet(t *testing.T) {
	if found := CheckOutlet(Cylinder{"7F3K-2", "CGA C-10", 69}, Regulator{"R-01", "CGA C-10", 103}); found != nil {
		t.Errorf("it fits, and it says %v", found)
	}
	for _, c := range []struct {
		outlet, inlet Outlet
		says          []string
	}{
		{"CGA 600", "CGA C-10", []string{"cylinder 7F3K-2 has outlet CGA 600", "regulator R-01 takes CGA C-10"}},
		{"DIN 477 14", "BS 341 14", []string{"DIN 477 14", "BS 341 14"}},
		{"home-made", "home-made", []string{"cylinder", "not on the list"}},
		{"CGA 600", "home-made", []string{"regulator R-01", "not on the list"}},
		{"", "", []string{"cylinder", "not on the list"}},
	} {
		found := CheckOutlet(Cylinder{"7F3K-2", c.outlet, 35}, Regulator{"R-01", c.inlet, 103})
		oneStop(t, found, "R21", c.says...)
		if advice := strings.ToLower(found[0].Advice); strings.Contains(advice, "adapter") || !strings.Contains(advice, "supplier") {
			t.Errorf("the advice is %q", advice)
		}
	}
}

func TestNoReasonPassesAnOutlet(t *testing.T) {
	found := CheckOutlet(Cylinder{"7F3K-2", "CGA 600", 35}, Regulator{"R-01", "CGA C-10", 103})
	if err := problem.Refuse(found, map[string]string{"R21": "the supervisor says so"}); problem.KindOf(err) != problem.Refused {
		t.Errorf("got %v", err)
	}
}

func TestOnlyTheSameOutletFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outlet, inlet := rapid.SampledFrom(Outlets()).Draw(t, "outlet"), rapid.SampledFrom(Outlets()).Draw(t, "inlet")
		if found := CheckOutlet(Cylinder{Outlet: outlet}, Regulator{Inlet: inlet}); (found == nil) != (outlet == inlet) {
			t.Fatalf("%s on %s: %v", inlet, outlet, found)
		}
	})
}

func TestRatingCoversTheFill(t *testing.T) {
	for _, c := range []struct{ rated, margin, fill float64 }{
		{103, 1.01, 69}, {68.95, 1.01, 69}, {100, 1.01, 101}, {70, 1.01, 70.7}, {10.7, 1.01, 10.807}, {207, 1.01, 209.07}, {69, 1, 69},
	} {
		if found := CheckRating(Cylinder{"7F3K-2", "CGA C-10", c.fill}, Regulator{"R-01", "CGA C-10", c.rated}, c.margin); found != nil {
			t.Errorf("%+v: %v", c, found)
		}
	}
	for _, c := range []struct {
		rated, margin, fill float64
		says                []string
	}{
		{34.5, 1.01, 69, []string{"R-01 is rated 34.5 bar × 1.01 = 34.845 bar", "7F3K-2 is filled to 69 bar"}},
		{68.3, 1.01, 69, []string{"68.3 bar × 1.01 = 68.983 bar"}},
		{69, 1, 69.01, []string{"69 bar × 1 = 69 bar", "69.01 bar"}},
		{0, 1.01, 69, []string{"regulator R-01 is not known"}}, {103, 1.01, 0, []string{"cylinder 7F3K-2 is not known"}},
		{103, 1.01, -5, []string{"not known"}}, {math.NaN(), 1.01, 69, []string{"not known"}}, {103, 1.01, math.NaN(), []string{"not known"}},
		{103, math.NaN(), 69, []string{"103 bar"}}, {103, 0.01, 69, []string{"1.03 bar"}},
	} {
		oneStop(t, CheckRating(Cylinder{"7F3K-2", "CGA C-10", c.fill}, Regulator{"R-01", "CGA C-10", c.rated}, c.margin), "R22", c.says...)
	}
}

func TestAHigherRatingIsNeverWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fill, rated := rapid.Float64Range(1, 300).Draw(t, "fill"), rapid.Float64Range(1, 300).Draw(t, "rated")
		more := rated + rapid.Float64Range(0, 100).Draw(t, "more")
		if CheckRating(Cylinder{FillBar: fill}, Regulator{MaxBar: rated}, 1.01) == nil && CheckRating(Cylinder{FillBar: fill}, Regulator{MaxBar: more}, 1.01) != nil {
			t.Fatalf("%v bar covers %v bar, %v bar does not", rated, fill, more)
		}
	})
}

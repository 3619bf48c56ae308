package fit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
)

func bottle(outlet Outlet, fill float64) Bottle {
	return Bottle{Gas: Gas{Label: "7F3K-2"}, Outlet: outlet, FillBar: fill}
}

func rated(inlet Outlet, bar float64) *Regulator {
	return &Regulator{Code: "R-01", Inlet: inlet, MaxBar: bar}
}

var figures = Policy{FlowPct: 10, PumpMargin: 1.1, LineWaitSPerM: 3, RatingMargin: 1.01, HotFactor: 1.1}

// oneFault wants one finding of a rule that says so much, with a subject and a next step.
func oneFault(t *testing.T, faults []fault, reason, rule string, severity problem.Severity, says ...string) {
	t.Helper()
	if len(faults) != 1 {
		t.Fatalf("got %+v, want one %s of %s", faults, severity, rule)
	}
	f := faults[0]
	if f.reason != reason || f.Rule != rule || f.Severity != severity || f.Subject == "" || f.Advice == "" {
		t.Errorf("got %+v, want %q, %s of %s", f, reason, severity, rule)
	}
	for _, part := range says {
		if !strings.Contains(f.Text+" / "+f.Advice, part) {
			t.Errorf("%q / %q does not say %q", f.Text, f.Advice, part)
		}
	}
}

func none(t *testing.T, faults []fault) {
	t.Helper()
	if len(faults) != 0 {
		t.Errorf("nothing is against it, and it says %+v", faults)
	}
}

func TestOutletMustBeTheInlet(t *testing.T) {
	none(t, outletFaults(bottle("CGA C-10", 69), rated("CGA C-10", 103)))
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
		found := outletFaults(bottle(c.outlet, 35), rated(c.inlet, 103))
		oneFault(t, found, "outlet", "R21", problem.Stop, append(c.says, "supplier")...)
		if strings.Contains(strings.ToLower(found[0].Text+found[0].Advice), "adapter") {
			t.Errorf("a piece in between is proposed: %+v", found[0])
		}
	}
}

func TestNoReasonPassesAnOutlet(t *testing.T) {
	found := Fittings(Test{Purpose: Bump}, bottle("CGA 600", 35), Set{Regulator: rated("CGA C-10", 103)}, nil, figures)
	if err := problem.Refuse(found, map[string]string{"R21": "the supervisor says so"}); problem.KindOf(err) != problem.Refused {
		t.Errorf("got %v", err)
	}
}

func TestOnlyTheSameOutletFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outlet, inlet := rapid.SampledFrom(Outlets()).Draw(t, "outlet"), rapid.SampledFrom(Outlets()).Draw(t, "inlet")
		if found := outletFaults(bottle(outlet, 35), rated(inlet, 103)); (found == nil) != (outlet == inlet) {
			t.Fatalf("%s on %s: %v", inlet, outlet, found)
		}
	})
}

// An adapter belongs to a regulator between two outlets alone, in one direction, and within both ratings.
func TestAdapterOfTheSupplier(t *testing.T) {
	for name, c := range map[string]struct {
		outlet, inlet Outlet
		adapter       Adapter
		rated         float64
		want          string
	}{
		"from C-10 to 600":               {"CGA C-10", "CGA 600", Adapter{"CGA C-10", "CGA 600", 69}, 103, ""},
		"from 600 to C-10":               {"CGA 600", "CGA C-10", Adapter{"CGA 600", "CGA C-10", 69}, 103, ""},
		"its rating with the margin":     {"CGA C-10", "CGA 600", Adapter{"CGA C-10", "CGA 600", 68.32}, 103, ""},
		"its rating is short":            {"CGA C-10", "CGA 600", Adapter{"CGA C-10", "CGA 600", 68.3}, 103, "pressure_rating"},
		"its rating is not known":        {"CGA C-10", "CGA 600", Adapter{"CGA C-10", "CGA 600", 0}, 103, "pressure_rating"},
		"the regulator's is short":       {"CGA C-10", "CGA 600", Adapter{"CGA C-10", "CGA 600", 103}, 34.5, "pressure_rating"},
		"both are short":                 {"CGA C-10", "CGA 600", Adapter{"CGA C-10", "CGA 600", 34.5}, 34.5, "pressure_rating pressure_rating"},
		"the wrong way round":            {"CGA C-10", "CGA 600", Adapter{"CGA 600", "CGA C-10", 103}, 103, "outlet"},
		"another outlet":                 {"CGA 590", "CGA C-10", Adapter{"CGA 590", "CGA C-10", 103}, 103, "outlet"},
		"another inlet":                  {"CGA C-10", "CGA 660", Adapter{"CGA C-10", "CGA 660", 103}, 103, "outlet"},
		"not the cylinder's":             {"CGA 590", "CGA 600", Adapter{"CGA C-10", "CGA 600", 103}, 103, "outlet"},
		"not the regulator's":            {"CGA C-10", "CGA 590", Adapter{"CGA C-10", "CGA 600", 103}, 103, "outlet"},
		"from an outlet to itself":       {"CGA C-10", "CGA C-10", Adapter{"CGA C-10", "CGA C-10", 1}, 103, ""},
		"not needed, so its rating says": {"CGA C-10", "CGA C-10", Adapter{"CGA 600", "CGA C-10", 1}, 103, ""},
	} {
		r := rated(c.inlet, c.rated)
		r.Adapter = &c.adapter
		var got []string
		for _, f := range append(outletFaults(bottle(c.outlet, 69), r), ratingFaults(bottle(c.outlet, 69), r, figures)...) {
			got = append(got, f.reason)
			if f.Severity != problem.Stop {
				t.Errorf("%s: %+v", name, f)
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: got %v, want %q", name, got, c.want)
		}
	}
}

func TestRatingCoversTheFill(t *testing.T) {
	judge := func(max, margin, fill float64) []fault {
		return ratingFaults(bottle("CGA C-10", fill), rated("CGA C-10", max), Policy{RatingMargin: margin})
	}
	for _, c := range []struct{ rated, margin, fill float64 }{
		{103, 1.01, 69}, {68.95, 1.01, 69}, {100, 1.01, 101}, {70, 1.01, 70.7}, {10.7, 1.01, 10.807}, {207, 1.01, 209.07}, {69, 1, 69},
	} {
		none(t, judge(c.rated, c.margin, c.fill))
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
		oneFault(t, judge(c.rated, c.margin, c.fill), "pressure_rating", "R22", problem.Stop, c.says...)
	}
}

// A rating that is an absolute maximum has to cover the cylinder in heat: (69 + 1.013) × 1.1 - 1.013 = 76 bar.
func TestAbsoluteRatingCoversHeat(t *testing.T) {
	r := rated("CGA C-10", 76.1/1.01)
	r.Absolute = true
	none(t, ratingFaults(bottle("CGA C-10", 69), r, figures))
	r.MaxBar = 75.9 / 1.01
	oneFault(t, ratingFaults(bottle("CGA C-10", 69), r, figures), "pressure_rating", "R22", problem.Stop, "filled to 69 bar, which become 76.001 bar in heat", "absolute maximum")
	r.Absolute = false
	none(t, ratingFaults(bottle("CGA C-10", 69), r, figures))
}

func TestHotVehicleIsNoted(t *testing.T) {
	b := bottle("CGA C-10", 69)
	b.HotVehicle = true
	oneFault(t, ratingFaults(b, rated("CGA C-10", 70), figures), "", "R22", problem.Note, "69 bar", "76.001 bar in a hot vehicle", "70 bar", "take the regulator off")
	none(t, ratingFaults(b, rated("CGA C-10", 103), figures))
}

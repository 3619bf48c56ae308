package fit_test

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/shelf"
)

func TestAdsorbingGasesFollowTheTables(t *testing.T) {
	for component, limit := range shelf.Proposed() {
		if got, want := fit.Adsorbs(component), *limit.FallbackMonths <= 6; got != want {
			t.Errorf("%s keeps %d months: adsorbs is %v", component, *limit.FallbackMonths, got)
		}
	}
	text, err := os.ReadFile("tables/fit.json")
	if err != nil {
		t.Fatal(err)
	}
	var table struct {
		Materials []struct {
			Component string
			Bodies    []string
		}
	}
	if err := json.Unmarshal(text, &table); err != nil || len(table.Materials) == 0 {
		t.Fatalf("%d rows, %v", len(table.Materials), err)
	}
	for _, row := range table.Materials {
		if fit.Adsorbs(row.Component) && slices.Contains(row.Bodies, "brass") {
			t.Errorf("%s adsorbs, and brass is allowed for it", row.Component)
		}
	}
	for _, unknown := range []string{"", "h2s", "XeF6"} {
		if fit.Adsorbs(unknown) {
			t.Errorf("%q adsorbs", unknown)
		}
	}
}

func TestComponentsThatReact(t *testing.T) {
	for _, c := range []struct {
		blend string
		want  string
	}{
		{"CH4 O2 CO H2S N2", ""}, {"Cl2 N2", ""}, {"NH3 N2", ""}, {"NO N2", ""}, {"SO2 NO N2", ""}, {"", ""},
		{"NH3 Cl2 N2", "stop NH3 + Cl2"}, {"N2 HCl NH3", "stop NH3 + HCl"}, {"Cl2 N2 H2S", "stop H2S + Cl2"},
		{"H2S SO2 N2", "ask H2S + SO2"}, {"NO air", "ask NO + air"}, {"NO O2 N2", "ask NO + O2"},
		{"H2S SO2 Cl2 NH3 N2", "stop NH3 + Cl2, stop H2S + Cl2, ask H2S + SO2"},
	} {
		var got []string
		for _, f := range fit.Reacts(strings.Fields(c.blend)) {
			got = append(got, string(f.Severity)+" "+f.Subject)
			if f.Rule != "R5d" || f.Text == "" || f.Advice == "" {
				t.Errorf("%s: %+v", c.blend, f)
			}
		}
		if strings.Join(got, ", ") != c.want {
			t.Errorf("%s: got %v, want %s", c.blend, got, c.want)
		}
	}
	if worst := problem.Worst(fit.Reacts([]string{"H2S", "SO2", "Cl2"})); worst != problem.Stop {
		t.Errorf("the worst is %s", worst)
	}
}

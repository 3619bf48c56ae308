package catalogue_test

import (
	"slices"
	"strings"
	"testing"

	"spanroom/internal/catalogue"
)

func TestDifferencesInWords(t *testing.T) {
	six, eight := int64(6), int64(8)
	part := func(component string, amount catalogue.BlendPart) catalogue.BlendPart {
		amount.Component = component
		return amount
	}
	co, h2s := part("CO", catalogue.BlendPart{Amount: "100 ppm"}), part("H2S", catalogue.BlendPart{Amount: "25 ppm"})
	for name, c := range map[string]struct {
		noun          string
		before, after catalogue.Order
		want          []string
	}{
		"a version alone": {"places", &catalogue.Place{Code: "A", Version: 1}, &catalogue.Place{Code: "A", Version: 2}, nil},
		"text": {"places", &catalogue.Place{Code: "A", Name: "Cage", Kind: "cage"}, &catalogue.Place{Code: "A", Name: "Old cage", Kind: "cage"},
			[]string{"Name: Cage > Old cage"}},
		"a number that comes, and one that goes": {"components", &catalogue.Component{Code: "Cl2", CapMonths: &six, OpenedDays: &eight}, &catalogue.Component{Code: "Cl2", CapMonths: &eight},
			[]string{"Cap, months: 6 > 8", "Opened cap, days: 8 > "}},
		"a tick": {"instruments", &catalogue.Instrument{Code: "D"}, &catalogue.Instrument{Code: "D", OutOfService: true}, []string{"Out of service: false > true"}},
		"a line that changed, by what it begins with": {"blends", &catalogue.Blend{Code: "Q", Components: []catalogue.BlendPart{co, h2s}},
			&catalogue.Blend{Code: "Q", Components: []catalogue.BlendPart{part("H2S", catalogue.BlendPart{Amount: "20 ppm", Tolerance: "1 ppm"}), co}},
			[]string{"Component H2S, amount: 25 ppm > 20 ppm", "Component H2S, tolerance:  > 1 ppm"}},
		"a line more and one less": {"blends", &catalogue.Blend{Code: "Q", Components: []catalogue.BlendPart{co}}, &catalogue.Blend{Code: "Q", Components: []catalogue.BlendPart{h2s}},
			[]string{"Component H2S, component:  > H2S", "Component H2S, amount:  > 25 ppm", "Component CO, component: CO > ", "Component CO, amount: 100 ppm > "}},
		"the order of lines": {"blends", &catalogue.Blend{Code: "Q", Components: []catalogue.BlendPart{co, h2s}}, &catalogue.Blend{Code: "Q", Components: []catalogue.BlendPart{h2s, co}},
			[]string{"Components, their order: CO, H2S > H2S, CO"}},
		"two lines that begin alike": {"blends", &catalogue.Blend{Code: "Q", Components: []catalogue.BlendPart{co, co}},
			&catalogue.Blend{Code: "Q", Components: []catalogue.BlendPart{co, part("CO", catalogue.BlendPart{Amount: "7 ppm"})}}, []string{"Component CO (2), amount: 100 ppm > 7 ppm"}},
		"lines of one field": {"rounds", &catalogue.Round{Code: "R", Instruments: []string{"D-1", "D-2"}}, &catalogue.Round{Code: "R", Instruments: []string{"D-2", "D-3", "D-4"}},
			[]string{"Instruments: D-1 > D-3, D-4"}},
		"numbers in lines": {"settings", &catalogue.Settings{LateDays: []int64{1, 3, 7}}, &catalogue.Settings{LateDays: []int64{1, 3}}, []string{"Reminders after, days: 7 > "}},
	} {
		t.Run(name, func(t *testing.T) {
			noun := catalogue.SettingsNoun()
			if c.noun != "settings" {
				noun = nounAt(t, c.noun)
			}
			found, err := noun.Differences(c.before, c.after)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, d := range found {
				got = append(got, d.Label+": "+d.Before+" > "+d.After)
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%s\nwant %s", strings.Join(got, "\n"), strings.Join(c.want, "\n"))
			}
		})
	}
}

// Everything that a thing has is told where it was not there before, and nothing where it was.
func TestEveryExampleDiffersFromABlankOne(t *testing.T) {
	for _, x := range examples {
		noun := nounAt(t, x.plural)
		order := orderOf(t, x.plural, x.order)
		sent := fieldsOf(t, order)
		told, err := noun.Differences(noun.New(), order)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range noun.Form {
			value, there := sent[f.Name]
			if !there || f.Kind == catalogue.Checkbox || value == "" || value == nil {
				continue
			}
			if list, is := value.([]any); is && len(list) == 0 {
				continue
			}
			if !slices.ContainsFunc(told, func(d catalogue.Difference) bool {
				return strings.HasPrefix(d.Label, f.Label) || f.Kind == catalogue.Rows && strings.HasPrefix(d.Label, f.Line()+" ")
			}) {
				t.Errorf("%s: %q is not told: %+v", x.order, f.Label, told)
			}
		}
		if same, err := noun.Differences(order, order); err != nil || len(same) != 0 {
			t.Errorf("%s differs from itself: %+v, %v", x.order, same, err)
		}
	}
}

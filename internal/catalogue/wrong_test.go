package catalogue_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store/storetest"
)

// wrongOrder is one with faults: each field by its path, with words that must be in what is said of it.
type wrongOrder struct {
	name, plural, order string
	kind                problem.Kind
	fields              map[string]string
}

var wrongOrders = []wrongOrder{
	{"nothing in a supplier", "suppliers", `{}`, problem.Invalid, map[string]string{"code": "code is not given"}},
	{"a code with a slash", "suppliers", `{"code":"a/b"}`, problem.Invalid, map[string]string{"code": `"a/b" cannot be a code`}},
	{"the address of the form", "suppliers", `{"code":"new"}`, problem.Invalid, map[string]string{"code": `"new" cannot be a code`}},
	{"a code that leads out", "suppliers", `{"code":".."}`, problem.Invalid, map[string]string{"code": "cannot be a code"}},
	{"a long code", "suppliers", `{"code":"12345678901234567890123456789012345678901"}`, problem.Invalid, map[string]string{"code": "cannot be a code"}},
	{"negative days", "suppliers", `{"code":"x","lead_time_days":-1,"lead_time_sd_days":400}`, problem.Invalid,
		map[string]string{"lead_time_days": "-1 days", "lead_time_sd_days": "400 days"}},
	{"a long name", "places", `{"code":"x","name":"` + strings.Repeat("ä", 201) + `"}`, problem.Invalid, map[string]string{"name": "201 characters"}},
	{"an unprintable name", "places", `{"code":"x","name":"a\u0007b"}`, problem.Invalid, map[string]string{"name": "cannot be printed"}},
	{"a negative limit", "places", `{"code":"x","max_cylinders":-1,"max_water_volume":"10","storage_groups":[" "]}`, problem.Invalid,
		map[string]string{"max_cylinders": "-1 cylinders", "max_water_volume": "no unit", "storage_groups.0": "not given"}},
	{"caps below nothing", "components", `{"code":"x","cap_months":-1,"fallback_months":241,"opened_days":-3,"making_tolerance_pct":51,"formula":"H 2"}`, problem.Invalid,
		map[string]string{"cap_months": "-1 months", "fallback_months": "241", "opened_days": "-3", "making_tolerance_pct": "51", "formula": "spaces"}},

	{"amounts without unit, unknown and twice", "blends",
		`{"code":"x","balance":"nitrogen","components":[{"component":"h2s","amount":"25"},{"component":"CO","amount":"1 bar"},{"component":"CO","amount":""}]}`, problem.Invalid,
		map[string]string{"balance": `no component "nitrogen"`, "components.0.component": `no component "h2s"`, "components.0.amount": "no unit",
			"components.1.amount": "not a unit", "components.2.amount": "not given", "components.2.component": "more than once"}},
	{"an amount of nothing", "blends", `{"code":"x","balance":"N2","components":[{"component":"CO","amount":"0 ppm"}]}`, problem.Invalid,
		map[string]string{"components.0.amount": "is nothing"}},
	{"an amount over the whole", "blends", `{"code":"x","balance":"N2","components":[{"component":"CO","amount":"101 %vol"}]}`, problem.Invalid,
		map[string]string{"components.0.amount": "out of range"}},
	{"a tolerance in percent of the amount", "blends", `{"code":"x","balance":"N2","components":[{"component":"CO","amount":"100 ppm","tolerance":"5 %"}]}`, problem.Invalid,
		map[string]string{"components.0.tolerance": "more than the amount"}},
	{"the balance among the components", "blends", `{"code":"x","balance":"N2","components":[{"component":"N2","amount":"10 %vol"}]}`, problem.Invalid,
		map[string]string{"components.0.component": "balance gas as well"}},
	{"over 100 %", "blends", `{"code":"x","balance":"N2","components":[{"component":"CO","amount":"100 %vol"},{"component":"O2","amount":"18 %vol"}]}`, problem.Refused,
		map[string]string{"components": "118 %vol"}},
	{"no balance", "blends", `{"code":"x","components":[{"component":"CO","amount":"100 ppm"}]}`, problem.Refused,
		map[string]string{"balance": "no balance gas"}},
	{"a balance that does not fit", "blends", `{"code":"x","balance":"N2","balance_amount":"80.6 %vol","components":[{"component":"O2","amount":"20 %vol"}]}`, problem.Refused,
		map[string]string{"balance_amount": "100.6 %vol"}},
	{"gases that react", "blends", `{"code":"x","balance":"N2","components":[{"component":"NH3","amount":"50 ppm"},{"component":"Cl2","amount":"10 ppm"}]}`, problem.Refused,
		map[string]string{"reasons.R5d": "react"}},
	{"gases that may react", "blends", `{"code":"x","balance":"air","reasons":{"R5d":" "},"components":[{"component":"NO","amount":"50 ppm"}]}`, problem.Refused,
		map[string]string{"reasons.R5d": "may react"}},

	{"an item of no kind", "items", `{"code":"x","kind":"bottle"}`, problem.Invalid, map[string]string{"kind": `the kind cannot be "bottle"`}},
	{"gas without anything", "items", `{"code":"x","kind":"gas"}`, problem.Invalid,
		map[string]string{"blend": "not given", "water_volume": "water volume is not given", "fill_pressure": "not given", "outlet": "not given"}},
	{"gas with everything wrong", "items", `{"code":"x","kind":"gas","blend":"Q9","water_volume":"1.0","fill_pressure":"69 C","outlet":"CGA 999","cutoff":"x",
		"store_cap_months":0,"counted_in":"m","sources":[{"supplier":"southbank","pack":-1,"moq":-6,"price":"78","minimum_life_days":-1}]}`, problem.Invalid,
		map[string]string{"blend": `no blend "Q9"`, "water_volume": "no unit", "fill_pressure": "not a unit", "outlet": "not on the list", "cutoff": "not a pressure",
			"store_cap_months": "0 months", "counted_in": `"m"`, "sources.0.supplier": `no supplier "southbank"`, "sources.0.pack": "-1 units", "sources.0.moq": "-6 units",
			"sources.0.price": "not a price", "sources.0.minimum_life_days": "-1 days"}},
	{"a cutoff above the fill", "items", `{"code":"x","kind":"gas","blend":"ZA","water_volume":"1 L","fill_pressure":"500 psi","outlet":"600","cutoff":"35 bar"}`, problem.Invalid,
		map[string]string{"cutoff": "not below the fill"}},
	{"gas litres", "items", `{"code":"x","kind":"gas","blend":"ZA","water_volume":"116 L","fill_pressure":"69 bar","outlet":"C-10"}`, problem.Refused,
		map[string]string{"water_volume": "gas litres? 116 L at 69 bar is 1.68 L of water volume"}},
	{"a filter with gas", "items", `{"code":"x","kind":"filter","blend":"ZA","water_volume":"1 L","fill_pressure":"69 bar","outlet":"C-10","refillable":true,"cutoff":"1 bar","store_cap_months":3,"counted_in":"m"}`, problem.Invalid,
		map[string]string{"blend": "gas only", "water_volume": "gas only", "fill_pressure": "gas only", "outlet": "gas only", "refillable": "gas only", "cutoff": "gas only", "store_cap_months": "gas only", "counted_in": "not counted"}},
	{"parts of packs, a supplier twice", "items", `{"code":"x","kind":"cap","sources":[{"supplier":"northbank","pack":10,"moq":6},{"supplier":"northbank"}]}`, problem.Invalid,
		map[string]string{"sources.0.moq": "not whole packs of 10", "sources.1.supplier": "more than once"}},

	{"a regulator of nothing", "regulators", `{"code":"x"}`, problem.Invalid,
		map[string]string{"inlet": "not given", "max_pressure": "not given", "mode": "not given"}},
	{"fixed without flow", "regulators", `{"code":"x","inlet":"3","max_pressure":"1 bar","minimum_inlet":"2 bar","mode":"fixed","place":"NOWHERE","last_gas":"XX","check_due_on":"05/04/27"}`, problem.Invalid,
		map[string]string{"inlet": "", "minimum_inlet": "not below", "flow": "not given", "place": "no place", "last_gas": "no component", "check_due_on": "can be"}},
	{"tubing of nothing", "tubings", `{"code":"x","length":"0 m"}`, problem.Invalid, map[string]string{"material": "not given", "length": "is nothing"}},
	{"a procedure of nothing", "procedures", `{"code":"x","purpose":"test","purge":"1","conditioning":"5 L"}`, problem.Invalid,
		map[string]string{"purpose": "cannot be", "flow": "not given", "duration": "not given", "purge": "no unit", "conditioning": "not a unit"}},
	{"channels", "models", `{"code":"x","channels":[{"component":"CO","set_value":"100"},{"component":"CO","low_alarm":"x","high_alarm":"5 %LELs"},{}]}`, problem.Invalid,
		map[string]string{"channels.0.set_value": "no unit", "channels.1.component": "more than once", "channels.1.low_alarm": "", "channels.1.high_alarm": "", "channels.2.component": "not given"}},
	{"an instrument of nothing known", "instruments", `{"code":"x","model":"M","place":"P","schedule":[{"procedure":"P","every_days":0}]}`, problem.Invalid,
		map[string]string{"model": "no model", "place": "no place", "schedule.0.procedure": "no procedure", "schedule.0.every_days": "0 days"}},
	{"a round", "rounds", `{"code":"x","place":"P","instruments":["D-1","","D-1"],"tests":[{"procedure":"P","times_per_week":-1}],"sessions_per_week":200}`, problem.Invalid,
		map[string]string{"place": "no place", "instruments.1": "not a serial", "instruments.2": "more than once", "tests.0.procedure": "no procedure", "tests.0.times_per_week": "-1", "sessions_per_week": "200"}},
}

func TestEverythingWrongIsToldAtOnce(t *testing.T) {
	r := testingRoom(t, storetest.New(t))
	for _, w := range slices.Concat(wrongOrders, wrongTesting) {
		t.Run(w.name, func(t *testing.T) {
			_, err := r.Make(t.Context(), ada, orderOf(t, w.plural, w.order))
			e := problemOf(t, err)
			if e.Kind != w.kind {
				t.Errorf("%s, want %s: %v", e.Kind, w.kind, err)
			}
			told := map[string]string{}
			for _, f := range e.Fields {
				told[f.Name] += f.Text + "\n"
				if f.Text == "" || f.Advice == "" {
					t.Errorf("%s: %q, next step %q", f.Name, f.Text, f.Advice)
				}
			}
			for name, words := range w.fields {
				if text, ok := told[name]; !ok || !strings.Contains(text, words) {
					t.Errorf("%s: %q, want %q", name, text, words)
				}
			}
			if got, want := slices.Sorted(maps.Keys(told)), slices.Sorted(maps.Keys(w.fields)); !slices.Equal(got, want) {
				t.Errorf("told of %v, want %v", got, want)
			}
			if w.kind == problem.Refused && len(e.Findings) == 0 {
				t.Error("a rule refuses and is not named")
			}
		})
	}
}

func TestUnknownNamesComeWithWhatMayBeMeant(t *testing.T) {
	r := newRoom(t, storetest.New(t))
	tests := []struct{ balance, advice string }{
		{"n2", `did you mean "N2"?`},
		{"Nitrogen", `did you mean "N2"?`},
		{"N3", "make it under components first"},
	}
	for _, tt := range tests {
		_, err := r.Make(t.Context(), ada, &catalogue.Blend{Code: "x", Balance: tt.balance})
		if e := problemOf(t, err); len(e.Fields) != 1 || !strings.Contains(e.Fields[0].Advice, tt.advice) {
			t.Errorf("%s: %+v", tt.balance, e.Fields)
		}
	}
}

// A rule's refusal and a wrong field of the same order are told together.
func TestFieldsAndFindingsComeTogether(t *testing.T) {
	r := newRoom(t, storetest.New(t))
	_, err := r.Make(t.Context(), ada, orderOf(t, "items", `{"code":"x","kind":"gas","blend":"ZA","water_volume":"116 L","fill_pressure":"69 bar","outlet":"none"}`))
	e := problemOf(t, err)
	if e.Kind != problem.Invalid || len(e.Fields) != 2 || len(e.Findings) != 1 || e.Findings[0].Rule != "R3b" {
		t.Errorf("%+v", e)
	}
}

// A doubtful blend is made once a reason is given, and the reason stays with it.
func TestDoubtfulBlendWantsAReason(t *testing.T) {
	s := storetest.New(t)
	r := newRoom(t, s)
	answer := made(t, r, orderOf(t, "blends", `{"code":"SH","balance":"N2","components":[{"component":"H2S","amount":"25 ppm"},{"component":"SO2","amount":"5 ppm"}],
		"reasons":{"R5d":" the supplier vouches for 12 months "}}`))
	if got := answer.(*catalogue.Blend).Reasons["R5d"]; got != "the supplier vouches for 12 months" {
		t.Errorf("the reason became %q", got)
	}
	entries, err := s.EntriesOf(t.Context(), "catalogue:blend:SH", 1)
	if err != nil || entries[0].Reason != "R5d: the supplier vouches for 12 months" {
		t.Errorf("%+v, %v", entries, err)
	}
}

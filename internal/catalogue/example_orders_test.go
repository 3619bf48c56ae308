package catalogue_test

import (
	"encoding/json"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// The orders that the contract gives as examples, in its order, with what their answers must say beside what was sent.
var examples = []struct{ plural, order, says string }{
	{"suppliers", `{"code":"northbank","name":"Northbank Gases","lead_time_days":42,"lead_time_sd_days":8}`, `{"version":1}`},
	{"places", `{"code":"CAGE","name":"Outdoor cage","kind":"cage"}`, `{"version":1}`},
	{"places", `{"code":"VAN-1","kind":"van"}`, `{"kind":"van"}`},
	{"places", `{"code":"BENCH"}`, `{"kind":"other"}`},
	{"blends", `{"code":"Q4","name":"four-gas","balance":"N2","components":[{"component":"CH4","amount":"2.5 %vol"},{"component":"O2","amount":"18 %vol"},
		{"component":"CO","amount":"100 ppm"},{"component":"H2S","amount":"25 ppm"}]}`, `{"balance_vol_pct":79.4875,"version":1}`},
	{"items", `{"code":"Q4","kind":"gas","blend":"Q4","water_volume":"1.0 L","fill_pressure":"69 bar","outlet":"C-10","refillable":false,"cutoff":"2.0 bar",
		"sources":[{"supplier":"northbank","article":"00417","pack":1,"moq":6,"price":"78.00 EUR","minimum_life_days":180}]}`,
		`{"water_volume_l":1,"fill_pressure_bar":69,"cutoff_bar":2,"outlet_listed":"CGA C-10","counted_in":"cylinder"}`},
	{"items", `{"code":"FILTER-H","kind":"filter","name":"hydrophobic filter","sources":[{"supplier":"northbank","article":"0F-12","pack":10,"moq":10,"price":"31.50 EUR"}]}`,
		`{"counted_in":"each","refillable":false}`},
	{"items", `{"code":"TUBE-P","kind":"tubing","counted_in":"m"}`, `{"counted_in":"m","sources":[]}`},
	{"procedures", `{"code":"bump-q4","name":"bump test, four gas","purpose":"bump","blend":"Q4","flow":"0.3 L/min","duration":"30 s","purge":"0.3 L"}`,
		`{"flow_l_min":0.3,"duration_s":30,"purge_l":0.3,"test_l":0.15,"session_l":0.3}`},
	{"regulators", `{"code":"R-01","inlet":"C-10","max_pressure":"103 bar","mode":"fixed","flow":"0.3 L/min","body":"stainless","place":"BENCH"}`,
		`{"inlet_listed":"CGA C-10","max_pressure_bar":103,"flow_l_min":0.3}`},
	{"regulators", `{"code":"R-02","inlet":"C-10","max_pressure":"103 bar","mode":"fixed","flow":"0.5 L/min","vented":true,"rating_absolute":true,"due_after_uses":500,"adapter":{"from":"CGA 600","to":"CGA C-10","max_pressure":"69 bar"}}`,
		`{"out_of_service":false,"inlet_listed":"CGA C-10"}`},
	{"tubings", `{"code":"T-01","material":"PTFE","length":"60 cm"}`, `{"length_m":0.6,"out_of_service":false}`},
	{"models", `{"code":"M3","name":"four-gas diffusion","channels":[{"component":"H2S","set_value":"25 ppm","low_alarm":"10 ppm"}]}`, `{"version":1}`},
	{"models", m4, `{"version":1,"channels":[{"formula":"CH4"},{"formula":"O2"},{"formula":"CO"},{"formula":"H2S"}]}`},
	{"caps", `{"code":"C-01","name":"for the M4","models":["M4"],"check_due_on":"2027-12-01","due_after_uses":500,"place":"BENCH"}`, `{"out_of_service":false,"version":1}`},
	{"caps", `{"code":"C-02"}`, `{"models":[]}`},
	{"procedures", `{"code":"cal-q4","purpose":"calibration","flow":"0.3 L/min","duration":"2 min","step":2,"consumables":[{"item":"FILTER-H","count":0.05}],"manual":"revision 6, page 41"}`, `{"test_l":0.6}`},
	{"instruments", `{"code":"D-002","model":"M4","set_values":[{"component":"CO","set_value":"98 ppm"}],"changed_on":"2027-03-01","filter_due_on":"2027-09-01"}`,
		`{"out_of_service":false,"changed_on":"2027-03-01"}`},
	{"instruments", `{"code":"D-001","model":"M4","place":"VAN-1","schedule":[{"procedure":"bump-q4","every_days":7}]}`, `{"version":1,"set_values_confirmed_on":"2027-03-03"}`},
	{"rounds", `{"code":"stoke","place":"VAN-1","instruments":["D-001","D-002"],"tests":[{"procedure":"bump-q4","times_per_week":3}],"sessions_per_week":3}`,
		`{"sessions_per_week":3}`},
}

func TestExamplesAreTakenAndAnswered(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := emptyRoom(s)
		if err := r.Start(t.Context(), ada); err != nil {
			t.Fatal(err)
		}
		for _, x := range examples {
			answer := fieldsOf(t, made(t, r, orderOf(t, x.plural, x.order)))
			for _, wanted := range []string{x.order, x.says} {
				var want map[string]any
				if err := json.Unmarshal([]byte(wanted), &want); err != nil {
					t.Fatal(err)
				}
				holds(t, x.plural, answer, want)
			}
		}
	})
}

func TestRoundsAreReadAsTheyAre(t *testing.T) {
	s := storetest.New(t)
	r := newRoom(t, s)
	for _, code := range []string{"stoke", "ashbeck"} {
		made(t, r, &catalogue.Round{Code: code, Instruments: []string{"D-001"}})
	}
	changed(t, r, "stoke", &catalogue.Round{Instruments: []string{"D-001", "D-002"}, SessionsPerWeek: 2})
	rounds, err := catalogue.Rounds(t.Context(), s)
	if err != nil || len(rounds) != 2 || rounds[1].Code != "stoke" || len(rounds[1].Instruments) != 2 || rounds[1].SessionsPerWeek != 2 || rounds[1].Version != 2 {
		t.Errorf("%+v, %v", rounds, err)
	}
}

// holds checks that everything wanted is in the answer, which may say more.
func holds(t *testing.T, path string, got, want any) {
	t.Helper()
	switch want := want.(type) {
	case map[string]any:
		have, _ := got.(map[string]any)
		for name, sub := range want {
			holds(t, path+"."+name, have[name], sub)
		}
	case []any:
		have, _ := got.([]any)
		if len(have) != len(want) {
			t.Errorf("%s: %v, want %v", path, got, want)
			return
		}
		for i, sub := range want {
			holds(t, path, have[i], sub)
		}
	case float64:
		if have, ok := got.(float64); !ok || have < want*(1-1e-12) || have > want*(1+1e-12) {
			t.Errorf("%s: %v, want %v", path, got, want)
		}
	default:
		if got != want {
			t.Errorf("%s: %v, want %v", path, got, want)
		}
	}
}

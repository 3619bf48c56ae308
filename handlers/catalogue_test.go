package handlers

import (
	"encoding/json"
	"net/http"
	"net/url"
	"reflect"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// furnishings are things with something in every field, in an order in which they can be made.
var furnishings = []struct{ path, order string }{
	{"/items", `{"code":"FILTER-X","name":"filter","kind":"filter","sources":[{"supplier":"northbank","article":"0F-12","gtin":"9521234543213","pack":10,"moq":20,"price":"31.50 EUR","minimum_life_days":5}],"note":"two\nlines"}`},
	{"/procedures", `{"code":"cal-x","name":"calibration","purpose":"calibration","blend":"Q4","step":2,"flow":"0.3 L/min","duration":"75 s","purge":"300 mL","conditioning":"5 min","consumables":[{"item":"FILTER-X","count":0.05}],"manual":"page 41"}`},
	{"/models", `{"code":"MX","name":"six channels","manual":"revision 6","sampling":"pumped","flow_min":"0.25 L/min","flow_max":"500 mL/min","flow":"0.3 L/min","pump_flow":"0.28 L/min","vent":"open hose",
		"zero_gas":"nitrogen","set_values_adjustable":true,"connected":true,"reasons":{"R19":"revision 6, page 40"},"channels":[
		{"component":"CH4","name":"LEL","set_value":"50 %LEL","low_alarm":"10 %LEL","high_alarm":"20 %LEL","range":"100 %LEL","sensor":"catalytic","oxygen_min":"12 %vol","shown_gas":"C5","lel":"5 %vol","lel_basis":"NFPA497:2008","factor":1.15,"factor_reading":"relative_response"},
		{"component":"O2","set_value":"20.9 %vol","low_alarm":"19.5 %vol","span_by":"clean air","accuracy":"0.3 %vol","t90":"2 min","tolerance_pct":1.5},
		{"component":"CO","set_value":"100 ppm"}],"cross_sensitivities":[{"channel":"CO","gases":["H2S","C5"],"interferes":true},{"channel":"CO","gases":["CH4"],"interferes":false}]}`},
	{"/instruments", `{"code":"X-1","name":"mine","model":"MX","place":"BENCH","schedule":[{"procedure":"cal-x","every_days":31}],"set_values":[{"component":"CO","set_value":"98 ppm"},{"component":"CH4","name":"LEL","set_value":"55 %LEL"}],
		"set_values_confirmed_on":"2026-12-01","changed_on":"2026-11-30","filter_due_on":"2027-06-01","out_of_service":true}`},
	{"/caps", `{"code":"C-X","name":"cap","models":["MX","DIFF-4"],"check_due_on":"2027-06-01","due_after_uses":500,"out_of_service":true,"place":"BENCH"}`},
	{"/regulators", `{"code":"R-X","inlet":"C-10","adapter":{"from":"CGA 600","to":"CGA C-10","max_pressure":"69 bar"},"max_pressure":"1000 psi","rating_absolute":true,"minimum_inlet":"2 bar","mode":"fixed","flow":"0.5 L/min","vented":true,
		"body":"brass","last_gas":"CO","check_due_on":"2027-06-01","due_after_uses":50,"out_of_service":true,"place":"BENCH"}`},
	{"/tubings", `{"code":"T-X","material":"FEP","length":"60 cm","last_gas":"CO","check_due_on":"2027-06-01","due_after_uses":50,"place":"BENCH"}`},
}

// withFurnishings is Harrowmere with all of them.
func withFurnishings(t *testing.T) *house {
	t.Helper()
	h := newHarrowmere(t, morning)
	h.must(auth.Supervisor, "POST", "/components", `{"code":"C5","name":"n-pentane","formula":"nC5H12x"}`)
	for _, f := range furnishings {
		h.must(auth.Supervisor, "POST", f.path, f.order)
	}
	return h
}

// A form that is opened and sent as it stands changes nothing but the version: nothing is missing on it, or said otherwise.
func TestFormsSendBackWhatTheyShow(t *testing.T) {
	h := withFurnishings(t)
	for _, f := range furnishings {
		var sent map[string]any
		if err := json.Unmarshal([]byte(f.order), &sent); err != nil {
			t.Fatal(err)
		}
		path := f.path + "/" + sent["code"].(string)
		was := h.must(auth.Supervisor, "GET", path, "")
		page := h.page(auth.Supervisor, path)
		form := url.Values{}
		for name, value := range formOn(t, page.Text, path).values {
			form.Set(name, value)
		}
		if r := h.submit(auth.Supervisor, path, form); r.Status != http.StatusSeeOther {
			t.Errorf("%s: %d %s", path, r.Status, r.Text)
			continue
		}
		is := h.must(auth.Supervisor, "GET", path, "")
		if was["version"] != 1.0 || is["version"] != 2.0 {
			t.Errorf("%s: versions %v and %v", path, was["version"], is["version"])
		}
		delete(was, "version")
		delete(is, "version")
		if !reflect.DeepEqual(was, is) {
			t.Errorf("%s: %v became %v", path, was, is)
		}
	}
}

// Rows of many fields say what they are, and what is filled in lies open.
func TestChannelsOnTheirForm(t *testing.T) {
	page := withFurnishings(t).page(auth.Supervisor, "/models/MX").Text
	for _, words := range []string{
		`<legend>Channel <span data-row-number>1</span>: CH4</legend>`, `<legend>Channel <span data-row-number>5</span></legend>`, `<legend>Channel <span data-row-number></span></legend>`,
		`value="H2S, C5"`, "Gas and flow, as the manual says", "100 %LEL is",
	} {
		if !strings.Contains(page, words) {
			t.Errorf("the form does not say %q", words)
		}
	}
	if open, all := strings.Count(page, "<details open>"), strings.Count(page, "Range and sensor</summary>"); open != 3 || all != 6 {
		t.Errorf("%d parts lie open, of %d channels", open, all)
	}
}

// A factor is asked about on the form, and what was typed stays.
func TestAFactorIsAskedAboutOnTheForm(t *testing.T) {
	h := withFurnishings(t)
	form := url.Values{"code": {"MY"}, "channels.0.component": {"CH4"}, "channels.0.shown_gas": {"C5"}, "channels.0.factor": {"1.15"}, "channels.0.factor_reading": {"multiplier"}}
	r := h.submit(auth.Supervisor, "/models", form)
	if r.Status != http.StatusConflict || !strings.Contains(r.Text, "50 %LEL methane must show 57.5 on this n-pentane scale: compare it with the manual") {
		t.Errorf("%d %s", r.Status, r.Text)
	}
	back := formOn(t, r.Text, "/models")
	if back.values["channels.0.factor"] != "1.15" || back.values["channels.0.factor_reading"] != "multiplier" || strings.Count(r.Text, `name="reasons.R19"`) != 1 {
		t.Errorf("%+v", back.values)
	}
	form.Set("reasons.R19", "revision 6, page 40")
	if r := h.submit(auth.Supervisor, "/models", form); r.Status != http.StatusSeeOther {
		t.Errorf("%d %s", r.Status, r.Text)
	}
}

// Who may not change a thing reads all of it.
func TestRowsAreReadByEverybody(t *testing.T) {
	h := withFurnishings(t)
	for path, words := range map[string][]string{
		"/models/MX":       {"Channels", "50 %LEL", "response, shown gas over", "H2S, C5", "1.15"},
		"/instruments/X-1": {"98 ppm", "55 %LEL", "cal-x"},
		"/caps/C-X":        {"MX", "DIFF-4", "500"},
		"/regulators/R-X":  {"CGA 600", "69 bar"},
	} {
		page := h.page(auth.Viewer, path).Text
		for _, w := range words {
			if !strings.Contains(page, w) {
				t.Errorf("%s does not say %q", path, w)
			}
		}
	}
}

// The page of a piece tells what check-outs say of it, and takes the statement that it was serviced.
func TestServicedOnTheForm(t *testing.T) {
	h := withFurnishings(t)
	const path = "/tubings/T-X"
	shows(t, "the page", h.page(auth.Viewer, path).Text, "Last gas, check-outs counted: CO. Not used since 3 Mar 2027 07:12.")
	h.at("2027-03-04T07:00:00Z")
	form := url.Values{}
	for name, value := range formOn(t, h.page(auth.Clerk, path).Text, path).values {
		form.Set(name, value)
	}
	if form.Get("serviced") != "" {
		t.Error("the box is ticked already")
	}
	form.Set("serviced", "true")
	if r := h.submit(auth.Clerk, path, form); r.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", r.Status, r.Text)
	}
	if is := h.must(auth.Viewer, "GET", path, ""); is["serviced_at"] != "2027-03-04T07:00:00.000Z" || is["serviced"] != nil {
		t.Errorf("%v", is)
	}
	shows(t, "the page", h.page(auth.Clerk, path).Text, "since 4 Mar 2027 08:00.", `type="checkbox"`)
	lacks(t, "the page of a cap", h.page(auth.Viewer, "/caps/C-X").Text, "Last gas")
}

// The summary of what is wrong calls fields as the form does, lines counted.
func TestWrongFieldsAreNamedAsOnTheForm(t *testing.T) {
	h := withFurnishings(t)
	for path, c := range map[string]struct {
		form url.Values
		want []string
	}{
		"/blends": {url.Values{"code": {"Q9"}, "balance": {"N2"}, "components.0.component": {"CO"}, "components.0.amount": {"much"}, "components.2.component": {"H2S"}, "components.2.amount": {"25"}},
			[]string{`<a href="#f-components-0-amount">Component 1, amount</a>: `, `<a href="#f-components-2-amount">Component 3, amount</a>: `}},
		"/models": {url.Values{"code": {"MZ"}, "channels.1.component": {"CO"}, "channels.1.t90": {"soon"}, "channels.1.set_value": {"1 bar"}},
			[]string{`<a href="#f-channels-1-t90">Channel 2, T90</a>: `, `<a href="#f-channels-1-set_value">Channel 2, set value</a>: `}},
		"/rounds": {url.Values{"code": {"r9"}, "instruments.0": {"D-1"}, "instruments.1": {strings.Repeat("x", 500)}, "tests.0.procedure": {"nothing"}, "tests.0.times_per_week": {"3"}},
			[]string{`<a href="#f-instruments-1">Serial 2</a>: `, `<a href="#f-tests-0-procedure">Test 1, procedure</a>: `}},
		"/settings": {url.Values{"confirm_months": {"x"}}, []string{`<a href="#f-confirm_months">`}},
	} {
		r := h.submit(auth.Supervisor, path, c.form)
		if r.Status != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d", path, r.Status)
		}
		shows(t, path, r.Text, c.want...)
	}
}

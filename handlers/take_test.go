package handlers

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// stocked is a house with the catalogue of the examples, eight cylinders of four-gas, and their tags.
func stocked(t *testing.T) (*house, []string) {
	t.Helper()
	h := newHouse(t, "2027-03-03T09:00:00Z")
	h.furnish()
	for _, thing := range []struct{ path, body string }{
		{"/procedures", `{"code":"bump-q4","name":"bump test, four gas","purpose":"bump","blend":"Q4","flow":"0.3 L/min","duration":"30 s","purge":"0.3 L"}`},
		{"/procedures", `{"code":"cal-q4","purpose":"calibration","blend":"Q4","flow":"0.3 L/min","duration":"2 min","purge":"0.3 L"}`},
		{"/regulators", `{"code":"R-01","inlet":"C-10","max_pressure":"103 bar","mode":"fixed","flow":"0.3 L/min","body":"stainless","place":"BENCH"}`},
		model("DIFF-4", "diffusion", `"flow":"0.3 L/min",`+fourGas("5.0", "15")), instrument("D-001", "DIFF-4", ""), instrument("D-002", "DIFF-4", ""),
		{"/rounds", `{"code":"stoke","place":"BENCH","instruments":["D-001","D-002"],"tests":[{"procedure":"bump-q4","times_per_week":3}],"sessions_per_week":3}`},
		{"/settings", `{"retry_pct":0,"default_gauge":"digital"}`},
	} {
		h.must(auth.Supervisor, "POST", thing.path, thing.body)
	}
	receipt := h.must(auth.Clerk, "POST", "/receipts", eightOfQ4)
	var tags []string
	for _, c := range receipt["cylinders"].([]any) {
		tags = append(tags, c.(map[string]any)["tag"].(string))
	}
	return h, tags
}

const fourteenBumps = `"item":"Q4","purpose":"bump","tests":[{"procedure":"bump-q4","count":14}],"from":"2027-03-03","until":"2027-03-03"`

func TestFromRecommendationToReturn(t *testing.T) {
	h, _ := stocked(t)
	found := h.must(auth.Technician, "POST", "/checkouts/recommend", "{"+fourteenBumps+`,"place":"CAGE"}`)
	pick := found["pick"].(map[string]any)
	if found["need_l"] != 2.4 || pick["place"] != "CAGE" || pick["kit"].(map[string]any)["regulator"] != "R-01" || len(found["alternatives"].([]any)) != 3 {
		t.Fatalf("%v", found)
	}
	out := h.call(auth.Technician, "POST", "/checkouts", fmt.Sprintf(`{%s,"cylinder":%q,"regulator":"R-01","reasons":{}}`, fourteenBumps, pick["tag"]))
	if out.Status != http.StatusCreated || out.JSON["tag"] != pick["tag"] || out.JSON["holder"] != "technician" {
		t.Fatalf("%d %s", out.Status, out.Text)
	}
	at := fmt.Sprintf("/checkouts/%v", out.JSON["id"])
	if second := h.call(auth.Supervisor, "POST", "/checkouts", fmt.Sprintf(`{%s,"cylinder":%q}`, fourteenBumps, pick["tag"])); second.Status != http.StatusConflict || second.JSON["kind"] != "conflict" ||
		!strings.Contains(second.Text, "is with technician since 09:00, from CAGE") {
		t.Errorf("who comes second: %d %s", second.Status, second.Text)
	}
	test := h.call(auth.Technician, "POST", at+"/tests", `{"instrument":"D-001","procedure":"bump-q4","result":"fail","attempts":2,"as_found":{"H2S":"20 ppm"}}`)
	if test.Status != http.StatusCreated || !strings.Contains(test.Text, "out of use now") {
		t.Errorf("%d %s", test.Status, test.Text)
	}
	if list := h.must(auth.Viewer, "GET", "/checkouts?open=true&holder=technician", ""); len(list["rows"].([]any)) != 1 {
		t.Errorf("%v", list)
	}
	back := h.call(auth.Technician, "POST", at+"/return", `{"pressure":"68 bar","temperature":"21 C","gauge":"digital","tests":[{"instrument":"D-002","procedure":"bump-q4","result":"pass"}]}`)
	if back.Status != http.StatusCreated || back.JSON["verdict"] != "as_expected" || back.JSON["expected_l"] != 0.75 || back.JSON["place"] != "CAGE" {
		t.Errorf("%d %s", back.Status, back.Text)
	}
	read := h.must(auth.Viewer, "GET", at, "")
	if read["verdict"] != "as_expected" || len(read["logged"].([]any)) != 2 || read["settings"].(map[string]any)["grace_days"] != 30.0 {
		t.Errorf("%v", read)
	}
}

func TestTakeRefusals(t *testing.T) {
	h, tags := stocked(t)
	for name, c := range map[string]struct {
		path, body string
		role       auth.Role
		status     int
		says       string
	}{
		"a purchaser takes nothing": {"/checkouts", fmt.Sprintf(`{%s,"cylinder":%q}`, fourteenBumps, tags[0]), auth.Purchaser, 403, "check out"},
		"a viewer may ask":          {"/checkouts/recommend", "{" + fourteenBumps + "}", auth.Viewer, 200, `"pick":{`},
		"nothing is wanted":         {"/checkouts/recommend", `{}`, auth.Technician, 422, `"name":"item"`},
		"an unknown procedure":      {"/checkouts/recommend", `{"item":"Q4","tests":[{"procedure":"bump-q5","count":1}]}`, auth.Technician, 422, `"name":"tests.0.procedure"`},
		"a count that is text":      {"/checkouts/recommend", `{"item":"Q4","tests":[{"procedure":"bump-q4","count":"14"}]}`, auth.Technician, 422, `"name":"tests.0.count"`},
		"past its date":             {"/checkouts", fmt.Sprintf(`{"item":"Q4","purpose":"calibration","until":"2027-10-02","cylinder":%q}`, tags[0]), auth.Technician, 409, `"rule":"R26"`},
		"no such check-out":         {"/checkouts/99/return", `{}`, auth.Clerk, 404, "check-out"},
		"tests are not the clerk's": {"/checkouts/99/tests", `{}`, auth.Clerk, 403, "log tests"},
	} {
		if r := h.call(c.role, "POST", c.path, c.body); r.Status != c.status || !strings.Contains(r.Text, c.says) {
			t.Errorf("%s: %d %s", name, r.Status, r.Text)
		}
	}
	for path, status := range map[string]int{"/checkouts/x": 404, "/checkouts/99": 404, "/checkouts?after=x": 422} {
		if r := h.call(auth.Viewer, "GET", path, ""); r.Status != status {
			t.Errorf("%s: %d %s", path, r.Status, r.Text)
		}
	}
}

// takeFields gives the hidden fields and the tag of the form that takes the pick, as a browser would send them.
func takeFields(t *testing.T, page string) url.Values {
	t.Helper()
	_, form, ok := strings.Cut(page, `id="take"`)
	if !ok {
		t.Fatalf("there is no form to take:\n%s", page)
	}
	form, _, _ = strings.Cut(form, "</form>")
	values := url.Values{}
	for _, input := range strings.Split(form, `<input type="hidden" name="`)[1:] {
		name, rest, _ := strings.Cut(input, `"`)
		_, rest, _ = strings.Cut(rest, `value="`)
		value, _, _ := strings.Cut(rest, `"`)
		if name != "csrf" {
			values.Set(name, value)
		}
	}
	return values
}

func TestTakeScreenByForm(t *testing.T) {
	h, _ := stocked(t)
	shows(t, "the empty screen", h.page(auth.Technician, "/checkouts/new").Text, `name="round"`, `name="tests.1.count"`, "Show the one to take")
	page := h.page(auth.Technician, "/checkouts/new?round=stoke&item=&tests.0.procedure=&tests.0.count=&from=&until=&place=")
	form := takeFields(t, page.Text)
	tag := form.Get("cylinder")
	shows(t, "the pick", page.Text, "Q4: 2 bumps", "needs 0.60 L", `<a href="/cylinders/`+tag+`">`, "<strong>CAGE</strong>, sealed, earliest use-by", "use by 1 Oct 2027",
		"label must read <strong>CH4 2.52 %vol, O2 18.1 %vol, CO 99 ppm, H2S 24.6 ppm", "nothing against it", "compared with instruments: 2 of DIFF-4", "with <span", "CGA C-10, 103 bar, 0.3 L/min, at BENCH; stainless; last gas not known",
		"Take "+tag, `value="R-01" selected`, "Nitrogen-balance gas displaces oxygen", "about ", "at least ")
	if form.Get("round") != "stoke" || form.Get("tests.0.procedure") != "" || strings.Contains(page.Text, "not checked here yet") {
		t.Errorf("the form takes %v", form)
	}
	form.Set("regulator", "R-01")
	r := h.submit(auth.Technician, "/checkouts", form)
	at, _, _ := strings.Cut(r.Header.Get("Location"), "?")
	if r.Status != http.StatusSeeOther || at == "" {
		t.Fatalf("%d %s", r.Status, r.Text)
	}
	if again := h.submit(auth.Technician, "/checkouts", form); again.Header.Get("Location") != r.Header.Get("Location") {
		t.Errorf("a second tap: %d to %s", again.Status, again.Header.Get("Location"))
	}
	shows(t, "in use", h.page(auth.Technician, at).Text, "In use: "+tag, "Log a test", "Bring it back", "Alarms will sound", "2 bumps, 0.60 L", "gas-frame")
	if text := h.page(auth.Viewer, at).Text; strings.Contains(text, "Log a test") || strings.Contains(text, "Bring it back") {
		t.Error("a viewer is offered to log or to return")
	}

	test := h.submit(auth.Technician, at+"/tests", url.Values{"instrument": {"D-001"}, "procedure": {"bump-q4"}, "result": {"fail"}, "attempts": {"1"}, "as_found": {""}})
	if test.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", test.Status, test.Text)
	}
	shows(t, "after a failed test", h.page(auth.Technician, test.Header.Get("Location")).Text, "Failed monitor: tag it", "D-001: bump-q4, fail.", "1 logged, 1 failed")

	shows(t, "bring back", h.page(auth.Technician, at+"/return").Text, "69.0 bar, fill specification", "expected now", "Bring "+tag+" back", "carry a reserve")
	lost := url.Values{"pressure": {"50"}, "pressure.unit": {"bar"}, "temperature": {"room"}, "gauge": {"digital"}, "place": {"BENCH"}}
	asked := h.submit(auth.Technician, at+"/return", lost)
	if asked.Status != http.StatusConflict {
		t.Fatalf("%d %s", asked.Status, asked.Text)
	}
	shows(t, "a loss", asked.Text, `name="reasons.R32"`, `value="50"`, "regulator left on")
	lost.Set("reasons.R32", "regulator left on")
	lost.Del("key")
	if done := h.submit(auth.Technician, at+"/return", lost); done.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", done.Status, done.Text)
	}
	shows(t, "after the return", h.page(auth.Viewer, at).Text, "more gas used than logged", "regulator left on", "69.0 bar, then 50.0 bar, measured")
	shows(t, "the list", h.page(auth.Viewer, "/checkouts").Text, at, "more gas used than logged")
}

func TestTakeScreenAsksInPlace(t *testing.T) {
	h, tags := stocked(t)
	sooner := strings.NewReplacer("7K-2206", "8A-1", "C-881", "C-882", "2027-10-01", "2027-09-15", `"counted":8`, `"counted":1`).Replace(eightOfQ4)
	first := h.must(auth.Clerk, "POST", "/receipts", sooner)["cylinders"].([]any)[0].(map[string]any)["tag"].(string)
	wanted := "/checkouts/new?item=Q4&tests.0.procedure=bump-q4&tests.0.count=14"
	page := h.page(auth.Technician, wanted+"&cylinder="+tags[0])
	shows(t, "another one", page.Text, "Take "+tags[0], "This one: "+first)
	shows(t, "another one asks at once", page.Text, `name="reasons.R16"`, "label must read <strong>CH4 2.52 %vol", ", in your hand")
	form := takeFields(t, page.Text)
	r := h.submit(auth.Technician, "/checkouts", form)
	if r.Status != http.StatusConflict {
		t.Fatalf("%d %s", r.Status, r.Text)
	}
	shows(t, "the refusal", r.Text, first+" at CAGE expires sooner", `name="reasons.R16"`, "Take "+tags[0], `value="`+tags[0]+`"`)
	form.Set("reasons.R16", "not found")
	form.Del("key")
	if r := h.submit(auth.Technician, "/checkouts", form); r.Status != http.StatusSeeOther {
		t.Errorf("%d %s", r.Status, r.Text)
	}
	if desk := h.must(auth.Clerk, "GET", "/", ""); !strings.Contains(fmt.Sprint(desk["tasks"]), "find "+first) {
		t.Errorf("%v", desk["tasks"])
	}
	for path, want := range map[string][]string{
		wanted + "&cylinder=" + slices.Max(tags[1:]):    {", in your hand", "Take " + slices.Max(tags[1:])}, // last by tag, so not offered
		wanted + "&until=2027-12-01":                    {"none of the", "by R26", "Passed over"},
		"/checkouts/new?item=Q4&tests.0.procedure=nope": {"there is no procedure", `id="f-tests-0-procedure"`},
		"/checkouts/new?item=Q9":                        {"there is no item"},
		wanted + "&cylinder=ABC":                        {"is not a tag"},
		wanted + "&until=2027-12-01&cylinder=" + first:  {"finish by 15 Sep 2027"},
	} {
		shows(t, path, h.page(auth.Technician, path).Text, want...)
	}
}

func TestHandingOut(t *testing.T) {
	h, _ := stocked(t)
	h.must(auth.Clerk, "POST", "/receipts", `{"supplier":"northbank","item":"FILTER-H","counted":4,"place":"CAGE"}`)
	answer := h.must(auth.Technician, "POST", "/issues", `{"item":"FILTER-H","counted":1,"place":"CAGE","to":"D-001"}`)
	if answer["balance"] != 3.0 || answer["to"] != "D-001" {
		t.Errorf("%v", answer)
	}
	shows(t, "the form", h.page(auth.Technician, "/issues/new?item=FILTER-H").Text, `<option value="FILTER-H" selected>`, "Hand it out")
	if wrong := h.submit(auth.Technician, "/issues", url.Values{"item": {"FILTER-H"}, "counted": {"many"}}); wrong.Status != 422 || !strings.Contains(wrong.Text, `value="many"`) {
		t.Errorf("%d %s", wrong.Status, wrong.Text)
	}
	r := h.submit(auth.Technician, "/issues", url.Values{"item": {"FILTER-H"}, "counted": {"6"}, "quantity": {""}, "quantity.unit": {"m"}})
	if r.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", r.Status, r.Text)
	}
	shows(t, "the list", h.page(auth.Technician, r.Header.Get("Location")).Text, "the book had 3", "FILTER-H", "nowhere")
	list := h.must(auth.Viewer, "GET", "/consumables?limit=1", "")
	if len(list["rows"].([]any)) != 1 || list["next"] != "FILTER-H " {
		t.Errorf("%v", list)
	}
	if r := h.call(auth.Purchaser, "POST", "/issues", `{}`); r.Status != 403 {
		t.Errorf("a purchaser hands out: %d", r.Status)
	}
}

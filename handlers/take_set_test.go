package handlers

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// monitoredWith is Harrowmere with its instruments and two cylinders of a delivery, and their tags.
func monitoredWith(t *testing.T, delivery step) (*house, []string) {
	t.Helper()
	h := newMonitored(t, morning)
	receipt := h.must(auth.Clerk, "POST", "/receipts", delivery.body)
	var tags []string
	for _, c := range rowsOf(receipt, "cylinders") {
		tags = append(tags, dig(c, "tag").(string))
	}
	return h, tags
}

// lacks demands that a page does not say something.
func lacks(t *testing.T, where, text string, words ...string) {
	t.Helper()
	for _, word := range words {
		if strings.Contains(text, word) {
			t.Errorf("%s says %q", where, word)
		}
	}
}

// wanted is the address of the Take screen for instruments, with more behind it.
func wanted(purpose, item, serials, more string) string {
	return "/checkouts/new?purpose=" + purpose + "&item=" + item + "&instruments=" + url.QueryEscape(serials) + more
}

// onTheButton is what the main button takes, as a browser tells it.
func onTheButton(tag string) string { return ">Take " + tag + "</button>" }

func TestTakeShowsAnotherSetBeforeItIsTaken(t *testing.T) {
	h, _ := monitoredWith(t, fourGasIn)
	usual := h.page(auth.Technician, wanted("bump", "Q4", "D-001\nD-002", ""))
	form := takeFields(t, usual.Text)
	tag := form.Get("cylinder")
	shows(t, "the pick", usual.Text, "nothing against it", onTheButton(tag), "<strong>T-01</strong>", `value="R-01" selected`, `formaction="/checkouts/new"`)
	_, fields, _ := strings.Cut(usual.Text, `id="take"`)
	fields, _, _ = strings.Cut(fields, "</form>")
	shows(t, "the button", fields, `<button class="main" name="csrf" value="`)
	lacks(t, "a form that can be sent by the address", fields, `type="hidden" name="csrf"`)

	form.Set("regulator", "R-05")
	form.Set("tubing", "T-03")
	form.Set("reasons.R23", "none other is here")
	bad := h.page(auth.Technician, "/checkouts/new?"+form.Encode())
	shows(t, "a set for ammonia", bad.Text, "fits, but was last used on NH3", "It is not to be taken like this", `value="R-05" selected`, `value="T-03" selected`, "last gas NH3", `value="none other is here"`)
	lacks(t, "a set for ammonia", bad.Text, onTheButton(tag), "nothing against it")
	if stop, ask := strings.Index(bad.Text, `<li class="stop"`), strings.Index(bad.Text, `<li class="ask"`); stop < 0 || ask >= 0 && ask < stop {
		t.Errorf("the stop stands at %d, an ask at %d", stop, ask)
	}

	refused := h.submit(auth.Technician, "/checkouts", form)
	if refused.Status != http.StatusConflict {
		t.Fatalf("%d %s", refused.Status, refused.Text)
	}
	shows(t, "the refusal", refused.Text, "fits, but was last used on NH3", `value="R-05" selected`, "It is not to be taken like this")
	lacks(t, "the refusal", refused.Text, onTheButton(tag))

	form.Set("regulator", "R-01")
	form.Set("tubing", "T-01")
	good := h.page(auth.Technician, "/checkouts/new?"+form.Encode())
	shows(t, "a set that suits", good.Text, "nothing against it", onTheButton(tag))
	taken := takeFields(t, good.Text)
	taken.Set("regulator", "R-01")
	if r := h.submit(auth.Technician, "/checkouts", taken); r.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", r.Status, r.Text)
	}
}

func TestTakeEntersTheCertifiedValues(t *testing.T) {
	h, _ := monitoredWith(t, fourGasIn)
	h.must(auth.Supervisor, "POST", "/instruments", instrument("D-021", "DIFF-4", `,"set_values":[{"component":"CO","set_value":"110 ppm"},{"component":"H2S","set_value":"23 ppm"}]`).body)
	none := h.page(auth.Technician, wanted("calibration", "Q4", "D-001, D-021", ""))
	shows(t, "no pick", none.Text, "by R17 (not what the instruments are set to)", "differs from the set values of the instruments, and in nothing else", "Look at ")
	_, look, _ := strings.Cut(none.Text, "Look at ")
	tag, _, _ := strings.Cut(look, "<")
	address := wanted("calibration", "Q4", "D-001, D-021", "&cylinder="+tag)
	stopped := h.page(auth.Technician, address)
	shows(t, "the one that differs", stopped.Text, "H2S 25 ppm vs 23 ppm set", `name="set_to_certified"`, "CO 100 ppm on D-021; H2S 25 ppm on D-021", "Look again",
		"<li>enter CO 100 ppm in D-021 first</li>", "<li>enter H2S 25 ppm in D-021 first</li>", "<li>zero first")
	lacks(t, "the one that differs", stopped.Text, onTheButton(tag), "at hand may be taken for this")

	asked := h.page(auth.Technician, address+"&set_to_certified=true&reasons.R17=the+bench+does+it")
	shows(t, "as if it were entered", asked.Text, onTheButton(tag), "<li>enter H2S 25 ppm in D-021 first</li>", `name="reasons.R17"`, `value="the bench does it"`, "checked")
	if boxes := strings.Count(asked.Text, `name="reasons.R17"`); boxes != 1 {
		t.Errorf("two findings of one rule ask for %d reasons", boxes)
	}
	form := takeFields(t, asked.Text)
	form.Set("set_to_certified", "true")
	again := h.submit(auth.Technician, "/checkouts", form)
	if again.Status != http.StatusConflict {
		t.Fatalf("without a reason: %d %s", again.Status, again.Text)
	}
	shows(t, "without a reason", again.Text, `name="reasons.R17"`, "checked", onTheButton(tag))
	form.Del("key")
	form.Set("reasons.R17", "the bench does it")
	if r := h.submit(auth.Technician, "/checkouts", form); r.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", r.Status, r.Text)
	}
	if values := fmt.Sprint(h.must(auth.Viewer, "GET", "/instruments/D-021", "")["set_values"]); !strings.Contains(values, "25 ppm") || !strings.Contains(values, "100 ppm") {
		t.Errorf("D-021 is set to %s", values)
	}
}

func TestTakeCarriesWhatWasAskedFor(t *testing.T) {
	h, _ := monitoredWith(t, fourGasIn)
	for address, want := range map[string]map[string]string{
		wanted("bump", "Q4", "D-001\nD-002", "&proves=low"):                     {"instruments": "D-001\nD-002", "purpose": "bump", "proves": "low", "item": "Q4", "tests.0.count": ""},
		"/checkouts/new?round=weekly&purpose=calibration":                       {"round": "weekly", "purpose": "calibration", "instruments": "", "tests.0.count": ""},
		"/checkouts/new?blend=Q4&tests.0.procedure=bump-q4&tests.0.count=3":     {"blend": "Q4", "item": "", "tests.0.procedure": "bump-q4", "tests.0.count": "3"},
		"/checkouts/new?item=Q4&purpose=line":                                   {"purpose": "line", "item": "Q4", "tests.0.count": ""},
		wanted("", "Q4", "D-001", "&tests.0.procedure=bump-q4&tests.0.count=2"): {"instruments": "D-001", "tests.0.count": "2", "purpose": "bump"},
	} {
		form := takeFields(t, h.page(auth.Technician, address).Text)
		for name, value := range want {
			if got := strings.ReplaceAll(form.Get(name), "&#10;", "\n"); got != value {
				t.Errorf("%s: %s is %q, not %q", address, name, got, value)
			}
		}
	}
	shows(t, "a calibration", h.page(auth.Technician, "/checkouts/new?round=weekly&purpose=calibration").Text, "In this order", "zero first, in clean air", "calibrate with Q4 (CH4, O2, CO, H2S)")
	low := h.page(auth.Technician, wanted("bump", "Q4", "D-001\nD-002", "&proves=low"))
	shows(t, "low alarms", low.Text, "low alarms only")
	lacks(t, "a bump", low.Text, "In this order")
	form := takeFields(t, low.Text)
	out := h.submit(auth.Technician, "/checkouts", form)
	at, _, _ := strings.Cut(out.Header.Get("Location"), "?")
	need := dig(h.must(auth.Viewer, "GET", at, ""), "explained.out.need")
	if dig(need, "proves") != "low" || fmt.Sprint(dig(need, "instruments")) != "[D-001 D-002]" {
		t.Errorf("it went out for %v", need)
	}
	if wrong := h.page(auth.Technician, wanted("bump", "Q4", "D-001\nD-999", "")); wrong.Status != http.StatusUnprocessableEntity ||
		!strings.Contains(wrong.Text, `id="f-instruments-fault"`) || !strings.Contains(wrong.Text, "D-001\nD-999") {
		t.Errorf("%d %s", wrong.Status, wrong.Text)
	}
	shows(t, "no gas is named", h.page(auth.Technician, "/checkouts/new?instruments=D-001&purpose=bump").Text, "it is not said which gas is wanted", `id="f-item-fault"`)
}

func TestTheNoticeOfATestSaysOnceThatItDoesNotCount(t *testing.T) {
	h, _ := monitoredWith(t, fourGasIn)
	h.must(auth.Supervisor, "POST", "/instruments", instrument("D-021", "DIFF-4", `,"set_values":[{"component":"CO","set_value":"110 ppm"},{"component":"H2S","set_value":"23 ppm"}]`).body)
	form := takeFields(t, h.page(auth.Technician, wanted("calibration", "Q4", "D-001", "")).Text)
	at := h.submit(auth.Technician, "/checkouts", form).Header.Get("Location")
	at, _, _ = strings.Cut(at, "?")
	for _, c := range []struct {
		instrument, result, mark string
		times                    int
	}{{"D-001", "pass", `✓</span></span> D-001: cal-q4, pass.`, 0}, {"D-021", "pass", `◆</span> ask</span> D-021: cal-q4, pass.`, 1}, {"D-001", "fail", `■</span> stop</span> D-001: cal-q4, fail. cal-q4 failed: tag it`, 0}} {
		sent := h.submit(auth.Technician, at+"/tests", url.Values{"instrument": {c.instrument}, "procedure": {"cal-q4"}, "result": {c.result}})
		page := h.page(auth.Technician, sent.Header.Get("Location")).Text
		_, notice, _ := strings.Cut(page, `<p class="notice"`)
		notice, _, _ = strings.Cut(notice, "</p>")
		if got := strings.Count(notice, "does not count"); got != c.times || !strings.Contains(notice, c.mark) {
			t.Errorf("%d times in %q, want %d and %q", got, notice, c.times, c.mark)
		}
	}
	lacks(t, "a mark that nobody knows", h.page(auth.Technician, at+"?done=x&mark=evil").Text, "evil\"", "mark evil")
}

func TestWhereACylinderIsLeadsToItsOutingAndToTheSetLeftOnIt(t *testing.T) {
	h, tags := monitoredWith(t, fourGasIn)
	form := url.Values{"item": {"Q4"}, "purpose": {"bump"}, "instruments": {"D-001"}, "cylinder": {tags[0]}, "regulator": {"R-01"}, "tubing": {"T-01"}}
	outing, _, _ := strings.Cut(h.submit(auth.Technician, "/checkouts", form).Header.Get("Location"), "?") // /checkouts/1
	check := h.page(auth.Technician, "/check?purpose=bump&item=Q4&instruments=D-001&cylinder="+tags[0]).Text
	shows(t, "the check", check, "you have it since 07:12", "log tests on your check-out 1, or bring it back first", `href="`+outing+`"`)
	h.must(auth.Supervisor, "POST", "/checkouts", fmt.Sprintf(`{"item":"Q4","purpose":"bump","instruments":["D-001"],"cylinder":%q}`, tags[1]))
	shows(t, "passed over", h.page(auth.Technician, wanted("bump", "Q4", "D-001", "")).Text, "you have it since 07:12", "bring back "+tags[0]+", which you have", `href="`+outing+`"`)
	shows(t, "somebody else's check", h.page(auth.Supervisor, "/check?purpose=bump&item=Q4&instruments=D-001&cylinder="+tags[0]).Text, "it is with technician in person since 07:12")

	h.must(auth.Clerk, "POST", outing+"/return", `{"place":"CAGE","set_left_on":true}`)
	shows(t, "the cylinder", h.page(auth.Viewer, "/cylinders/"+tags[0]).Text, "with <strong>R-01, T-01</strong> left on it")
	if left := fmt.Sprint(h.must(auth.Viewer, "GET", "/cylinders/"+tags[0], "")["left_on"]); left != "[R-01 T-01]" {
		t.Errorf("left on it: %s", left)
	}
	if left := fmt.Sprint(h.must(auth.Viewer, "GET", "/cylinders/"+tags[1], "")["left_on"]); left != "[]" {
		t.Errorf("left on the other: %s", left)
	}
}

package handlers

import (
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// asked is the address of the calculators with fields: name, value, name, value.
func asked(fields ...string) string {
	query := url.Values{}
	for i := 0; i+1 < len(fields); i += 2 {
		query.Set(fields[i], fields[i+1])
	}
	return "/calculators?" + query.Encode()
}

func TestCalculatorsBeforeAnybodyAsks(t *testing.T) {
	h, _ := stocked(t)
	page := h.page(auth.Viewer, "/calculators")
	if page.Status != http.StatusOK {
		t.Fatalf("%d %s", page.Status, page.Text)
	}
	shows(t, "the page", page.Text, "<h1>Calculators</h1>", "<h2>Content and tests left</h2>", "<h2>%LEL</h2>", "<h2>Use-by</h2>",
		`<a href="/calculators" aria-current="page">`, `<a href="#lel">`, `<option value="Q4">`, `<option value="dial">`, `<option value="NFPA497:2008">`, `<option value="CH4">`)
	if strings.Contains(page.Text, `class="figure"`) || strings.Count(page.Text, `<form class="order" method="get" action="/calculators">`) != 3 {
		t.Error("a calculator answers what nobody asked, or has no form")
	}
	everyControlHasALabel(t, page.Text)
}

var (
	control  = regexp.MustCompile(`<(?:input|select|textarea) id="(f-[^"]+)"`)
	labelFor = regexp.MustCompile(`<label for="([^"]+)"`)
)

func everyControlHasALabel(t *testing.T, page string) {
	t.Helper()
	var labelled []string
	for _, m := range labelFor.FindAllStringSubmatch(page, -1) {
		labelled = append(labelled, m[1])
	}
	controls := control.FindAllStringSubmatch(page, -1)
	for _, m := range controls {
		if !slices.Contains(labelled, m[1]) {
			t.Errorf("nothing is written above %s", m[1])
		}
	}
	if len(controls) < 20 {
		t.Errorf("there are %d controls", len(controls))
	}
}

func TestContentsCalculator(t *testing.T) {
	h, _ := stocked(t)
	page := h.page(auth.Viewer, asked("contents.item", "Q4", "contents.pressure", "1000.76", "contents.pressure.unit", "psi", "contents.temperature", "21", "contents.temperature.unit", "C",
		"contents.flow", "1", "contents.flow.unit", "L/min", "contents.time", "60", "contents.time.unit", "s", "contents.blend", "", "contents.purge", "", "contents.purge.unit", "L"))
	if page.Status != http.StatusOK {
		t.Fatalf("%d %s", page.Status, page.Text)
	}
	shows(t, "the answer", page.Text, `<p class="figure">about 67 tests <span class="name">(at least 58, at most 75)</span></p>`,
		`<svg role="img" aria-label="67.0 L usable, at least 65.1 L, of 70.0 L when full; 2.98 L left below minimum pressure (litres at 70 °F and 1 atm)"`, `class="gas-heel"`, `class="gas-notch"`,
		"67.0 L (65.1 L to 68.9 L)", "69.0 bar in 1 L of water volume at 21 °C", "gauge digital ± 0.5 bar", "Minimum pressure 2.0 bar", "Tests left is an estimate; carry a reserve.")
	shows(t, "what was typed", page.Text, `value="1000.76"`, `<option selected>psi</option>`, `<option value="Q4" selected>`)

	h.must(auth.Supervisor, "POST", "/blends", `{"code":"PROPANE","balance":"C3H8"}`)
	refused := h.page(auth.Viewer, asked("contents.blend", "PROPANE", "contents.water_volume", "1 L", "contents.pressure", "8 bar"))
	shows(t, "where pressure says nothing", refused.Text, "no figure", "C3H8 may be liquid", "weigh it")
	if refused.Status != http.StatusOK || strings.Contains(refused.Text, "gas-frame") {
		t.Errorf("status %d, or a picture of nothing", refused.Status)
	}
	shows(t, "at the end", h.page(auth.Viewer, asked("contents.item", "Q4", "contents.pressure", "2 bar")).Text, "2.0 bar is at or below the least usable pressure")
}

func TestLELCalculator(t *testing.T) {
	h, _ := stocked(t)
	page := h.page(auth.Viewer, asked("lel.gas", "CH4", "lel.amount", "2.2", "lel.amount.unit", "%vol", "lel.basis", "IEC60079-20-1:2010", "lel.own_lel", "", "lel.own_lel.unit", "%vol",
		"lel.shown", "n-pentane", "lel.factor", "2", "lel.factor_reading", "relative_response"))
	if page.Status != http.StatusOK {
		t.Fatalf("%d %s", page.Status, page.Text)
	}
	shows(t, "the answer", page.Text, `<p class="figure">50 %LEL</p>`, "2.2 %vol methane, where 100 %LEL is 4.4 %vol", "by IEC60079-20-1:2010", "Set value <strong>25 %LEL n-pentane</strong>, F 0.5",
		"Compare with the manual:</span> 50 %LEL methane must show 25 on this n-pentane scale.", "check its direction in the manual", "44 %LEL</td>", "Basis and factor from the manual.",
		`<svg role="img" aria-label="The cylinder has 2.2 %vol methane; 100 %LEL is 4.4 %vol by IEC60079-20-1:2010, which is chosen, and 5 %vol by NFPA497:2008."`)
	shows(t, "what was typed", page.Text, `value="n-pentane"`, `<option value="relative_response" selected>`, `<option value="IEC60079-20-1:2010" selected>`)

	shows(t, "without a factor", h.page(auth.Viewer, asked("lel.gas", "CH4", "lel.amount", "2.2 %vol", "lel.own_lel", "5 %vol", "lel.shown", "n-pentane")).Text,
		`<p class="figure">44 %LEL</p>`, "by the manual", "without the factor from methane to n-pentane nobody can say")
	shows(t, "without a limit", h.page(auth.Viewer, asked("lel.gas", "pentane", "lel.amount", "1 %vol", "lel.basis", "NFPA497:2008")).Text, "no lower limit for pentane", "say which one: isopentane, n-pentane")
}

func TestUseByCalculator(t *testing.T) {
	h, _ := stocked(t)
	page := h.page(auth.Viewer, asked("use_by.components", "Cl2, N2", "use_by.filled_on", "2026-12-10", "use_by.certificate_expires_on", "12/2027"))
	if page.Status != http.StatusOK {
		t.Fatalf("%d %s", page.Status, page.Text)
	}
	shows(t, "the answer", page.Text, `<p class="figure">`, "days left, limited by", "<dt>supplier expiry</dt><dd>31 Dec 2027</dd>", "<dt>site use-by</dt>", "which limits it; today is 3 Mar 2027.", `class="time-bar time-limit"`,
		">use by</text>", "The supplier&#39;s date wins.", `<svg role="img" aria-label="Each date by itself: the certificate until 31 Dec 2027`)
	shows(t, "what was typed", page.Text, `value="Cl2, N2"`, `value="12/2027"`)
	shows(t, "undated", h.page(auth.Viewer, asked("use_by.blend", "Q4")).Text, "undated: no supplier&#39;s date", "no date")
	shows(t, "past", h.page(auth.Viewer, asked("use_by.blend", "Q4", "use_by.label_expires_on", "2027-03-01")).Text, "expired 2 days ago")
}

func TestCalculatorsGiveBackWhatIsWrong(t *testing.T) {
	h, _ := stocked(t)
	for address, want := range map[string][]string{
		asked("contents.item", "Q4", "contents.pressure", "much", "contents.pressure.unit", "psi", "contents.flow", "0.3"): {
			`href="#f-contents-pressure"`, `value="much"`, `<option selected>psi</option>`, "&#34;much&#34; is not a pressure", `value="0.3"`, `href="#f-contents-time"`, `<option value="Q4" selected>`},
		asked("lel.gas", "CH4", "lel.amount", "2", "lel.factor", "1,150"):                             {`href="#f-lel-factor"`, `value="1,150"`, `value="CH4"`},
		asked("lel.gas", "CH4", "lel.amount", "2 %vol"):                                               {`href="#f-lel-basis"`, "without its basis %LEL says nothing"},
		asked("use_by.blend", "Q4", "use_by.filled_on", "05/04/26", "use_by.opened_on", "2099-01-01"): {"5 Apr 2026 or 4 May 2026", `value="05/04/26"`, `href="#f-use_by-opened_on"`},
		asked("contents.colour", "red"):                                                               {"there is no such field"},
		asked("contents.pressure", ""):                                                                {"the pressure is not given"},
	} {
		page := h.page(auth.Viewer, address)
		if page.Status != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d", address, page.Status)
		}
		shows(t, address, page.Text, append(want, `id="problem"`)...)
	}
	malformed := h.page(auth.Viewer, asked("contents", "x", "contents.item", "Q4"))
	if malformed.Status != http.StatusBadRequest {
		t.Errorf("names that contradict each other: %d", malformed.Status)
	}
}

func TestWhatWasAskedComesFirst(t *testing.T) {
	h, _ := stocked(t)
	headings := func(address string) string {
		var found []string
		for _, m := range regexp.MustCompile(`<section class="calculator" id="(\w+)">`).FindAllStringSubmatch(h.page(auth.Viewer, address).Text, -1) {
			found = append(found, m[1])
		}
		return strings.Join(found, " ")
	}
	both := asked("use_by.blend", "Q4", "use_by.label_expires_on", "2027-08-01", "lel.gas", "CH4", "lel.amount", "1 %vol", "lel.own_lel", "5 %vol")
	for address, want := range map[string]string{
		"/calculators": "contents lel use_by", "/calculators?done=x": "contents lel use_by", asked("use_by.blend", "Q4"): "use_by contents lel", both: "lel use_by contents",
	} {
		if got := headings(address); got != want {
			t.Errorf("%s: %s, want %s", address, got, want)
		}
	}
	shows(t, "two at once", h.page(auth.Viewer, both).Text, `<p class="figure">20 %LEL</p>`, `<p class="figure">1 Aug 2027</p>`)
}

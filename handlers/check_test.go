package handlers

import (
	"net/http"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

func TestCheckForPrograms(t *testing.T) {
	h, tags := monitoredWith(t, fourGasIn)
	head := func() any { return dig(h.must(auth.Viewer, "GET", "/ledger?limit=1", ""), "rows.0.hash") }
	before := head()
	at := "/check?cylinder=" + tags[0]
	good := h.must(auth.Viewer, "GET", at+"&instruments=D-001,D-002&purpose=calibration", "")
	if dig(good, "findings.#") != 0.0 || dig(good, "kit.regulator") != "R-01" || dig(good, "kit.tubing") != "T-01" || dig(good, "compared") != "compared with instruments: 2 of DIFF-4" {
		t.Errorf("%v", good)
	}
	bad := h.call(auth.Viewer, "GET", at+"&regulator=R-05&tubing=T-02&instruments=D-043,P-001&purpose=calibration", "")
	shows(t, "a wrong set", bad.Text, "fits, but was last used on NH3", `"regulator":"R-05"`, `"R19"`, "PVC", `"where":"at CAB-T"`)
	if severity := dig(bad.JSON, "findings.0.severity"); severity != "stop" {
		t.Errorf("first comes %v", severity)
	}
	if after := head(); before == nil || after != before {
		t.Errorf("the ledger goes from %v to %v", before, after)
	}
	chlorine := h.must(auth.Clerk, "POST", "/receipts", lot{from: "ferrow", item: "CL", lot: "L-C", n: 1, filled: "2027-02-20", expires: "2028-02-20"}.json())
	kept := h.must(auth.Viewer, "GET", "/check?cylinder="+dig(chlorine, "cylinders.0.tag").(string)+"&round=ashbeck", "")
	if dig(kept, "kept_for.0") != "Cl2" || dig(kept, "kit.parts.0.last_gas.0") != "Cl2" || dig(kept, "outlet") != "CGA C-10" {
		t.Errorf("%v", kept)
	}
	for query, field := range map[string]string{
		"?purpose=bump": "cylinder", "?cylinder=ABC&purpose=bump": "cylinder", "?cylinder=" + tags[0]: "tests", "?cylinder=" + tags[0] + "&purpose=bump&cap=none": "cap",
	} {
		if r := h.call(auth.Viewer, "GET", "/check"+query, ""); r.Status != http.StatusUnprocessableEntity || dig(r.JSON, "fields.0.name") != field {
			t.Errorf("%s: %d %s", query, r.Status, r.Text)
		}
	}
	h.must(auth.Technician, "POST", "/checkouts", strings.NewReplacer("{A1}", tags[0]).Replace(bumping("Q4", "D-001", "")))
	shows(t, "a regulator that is out", h.call(auth.Viewer, "GET", "/check?cylinder="+tags[1]+"&regulator=R-01&purpose=bump", "").Text, `"R53"`, "it went out on "+tags[0])
}

func TestCheckPage(t *testing.T) {
	h, tags := monitoredWith(t, fourGasIn)
	empty := h.page(auth.Viewer, "/check")
	shows(t, "the empty page", empty.Text, "What the rules say stands here", `data-scan="regulator"`, `data-scan="instrument"`, ">Check it</button>")
	filled := h.page(auth.Viewer, "/check?cylinder="+tags[0])
	shows(t, "from a cylinder", filled.Text, `value="`+tags[0]+`"`, "What the rules say stands here")
	lacks(t, "from a cylinder", filled.Text, `id="problem"`)
	shows(t, "the cylinder's page", h.page(auth.Viewer, "/cylinders/"+tags[0]).Text, "/check?cylinder="+tags[0])
	shows(t, "the Take screen", h.page(auth.Technician, "/checkouts/new").Text, `href="/check"`)

	query := "/check?cylinder=" + tags[0] + "&regulator=&instruments=D-001%0AD-002&purpose=calibration"
	good := h.page(auth.Technician, query)
	shows(t, "nothing against it", good.Text, "nothing against it", "with <span", "compared with instruments: 2 of DIFF-4", "Take it", "D-001\nD-002")
	lacks(t, "a viewer", h.page(auth.Viewer, query).Text, "Take it")
	_, link, _ := strings.Cut(good.Text, `class="button main" href="`)
	link, _, _ = strings.Cut(link, `"`)
	took := h.page(auth.Technician, strings.ReplaceAll(link, "&amp;", "&"))
	shows(t, "where it leads", took.Text, onTheButton(tags[0]), "Q4: 2 calibrations")

	bad := h.page(auth.Technician, query+"&cap=CAP-1&tubing=T-04")
	shows(t, "a wrong set", bad.Text, "fits, but was last used on Cl2", "It is not to be taken like this", "last gas Cl2")
	lacks(t, "a wrong set", bad.Text, "Take it", "nothing against it")
	wrong := h.page(auth.Technician, "/check?cylinder="+tags[0]+"&regulator=R-99&instruments=D-999&purpose=bump")
	if wrong.Status != http.StatusUnprocessableEntity {
		t.Errorf("%d", wrong.Status)
	}
	shows(t, "unknown things", wrong.Text, `id="f-regulator-fault"`, `id="f-instruments-fault"`, `value="R-99"`, "What the rules say stands here")
}

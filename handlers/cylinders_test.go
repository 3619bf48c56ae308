package handlers

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// shelved is a furnished house with eight cylinders of Q4 in the cage, and their tags.
func shelved(t *testing.T) (*house, []string) {
	t.Helper()
	h := newHouse(t, "2027-03-03T09:00:00Z")
	h.furnish()
	h.must(auth.Supervisor, "POST", "/procedures", `{"code":"bump-q4","name":"bump test, four gas","purpose":"bump","blend":"Q4","flow":"0.3 L/min","duration":"30 s","purge":"0.3 L"}`)
	var tags []string
	for _, c := range h.must(auth.Clerk, "POST", "/receipts", eightOfQ4)["cylinders"].([]any) {
		tags = append(tags, c.(map[string]any)["tag"].(string))
	}
	return h, tags
}

func shows(t *testing.T, where, text string, words ...string) {
	t.Helper()
	for _, word := range words {
		if !strings.Contains(text, word) {
			t.Errorf("%s does not say %q", where, word)
		}
	}
}

func TestCylinderForPrograms(t *testing.T) {
	h, tags := shelved(t)
	a := h.must(auth.Viewer, "GET", "/cylinders/"+strings.ToLower(tags[0])+"?procedure=bump-q4&on=2027-03-28", "")
	for name, want := range map[string]any{
		"tag": tags[0], "item": "Q4", "blend": "Q4", "supplier": "northbank", "lot": "7K-2206", "stage": "sealed", "place": "CAGE", "pressure_bar": 69.0,
		"pressure_source": "fill", "reference": "70F_1atm", "opened_on": "", "expires_on": "2027-10-01", "supplier_expires_on": "2027-10-01", "days_left": 187.0, "version": 1.0,
	} {
		if a[name] != want {
			t.Errorf("%s is %v, want %v", name, a[name], want)
		}
	}
	custody, governed, left := a["custody"].(map[string]any), a["governed_by"].(map[string]any), a["tests_left"].([]any)
	if custody["kind"] != "place" || custody["name"] != "CAGE" || governed["term"] != "certificate" || len(left) != 1 {
		t.Errorf("custody %v, governed by %v, tests left %v", custody, governed, left)
	}
	if one := left[0].(map[string]any); one["procedure"] != "bump-q4" || one["low"].(float64) >= one["expected"].(float64) {
		t.Errorf("tests left: %v", one)
	}
	if r := a["readiness"].(map[string]any); r["state"] != "usable" || len(r["findings"].([]any)) != 0 {
		t.Errorf("readiness: %v", r)
	}
	for path, status := range map[string]int{
		"/cylinders/2222-222A": 404, "/cylinders/new": 404, "/cylinders/%00": 404, "/cylinders/" + tags[0] + "?procedure=x": 422, "/cylinders/" + tags[0] + "?on=31-02-2027": 422,
	} {
		if r := h.call(auth.Viewer, "GET", path, ""); r.Status != status {
			t.Errorf("%s: %d %s", path, r.Status, r.Text)
		}
	}
}

func TestCylinderForPeople(t *testing.T) {
	h, tags := shelved(t)
	page := h.page(auth.Clerk, "/cylinders/"+tags[0]+"?procedure=bump-q4")
	shows(t, "the page", page.Text, ">Cylinder "+tags[0], "H2S 24.6 ppm", "use by 1 Oct 2027", "limited by the certificate", "supplier's expiry 1 Oct 2027", "212 days left",
		" bumps (at least ", "nothing against it", "usable, at least", "fill specification", "received at CAGE", "Tests left is an estimate", `action="/cylinders/`+tags[0]+`/move"`, `<option value="bump-q4" selected>`)
	viewer := h.page(auth.Viewer, "/cylinders/"+tags[0])
	if strings.Contains(viewer.Text, "/move\"") || strings.Contains(viewer.Text, "/reading\"") || strings.Contains(viewer.Text, `action="/holds`) {
		t.Error("a viewer is offered what a viewer may not do")
	}
	if technician := h.page(auth.Technician, "/cylinders/"+tags[0]); strings.Contains(technician.Text, "/move\"") || !strings.Contains(technician.Text, "/reading\"") {
		t.Error("a technician reads and does not move")
	}
}

func TestShelf(t *testing.T) {
	h, tags := shelved(t)
	list := h.must(auth.Viewer, "GET", "/cylinders?place=CAGE&limit=3", "")
	if rows := list["rows"].([]any); len(rows) != 3 || list["next"] != tags[2] || list["sort"] != "use_by" {
		t.Errorf("%d rows, next %v", len(rows), list["next"])
	}
	page := h.page(auth.Viewer, "/cylinders?place=CAGE")
	shows(t, "the shelf", page.Text, tags[0], "1 Oct 2027,</span> 212 days left", "7K-2206</span>", "Northbank Gases", `<option value="CAGE" selected>`)
	shows(t, "an empty shelf", h.page(auth.Viewer, "/cylinders?place=BENCH").Text, "No cylinder is like this")
	shows(t, "an unknown place", h.call(auth.Viewer, "GET", "/cylinders?place=ATTIC", "").Text, `"name":"place"`, "BENCH, CAGE")
	if r := h.call(auth.Viewer, "GET", "/cylinders?q=%00%27%25", ""); r.Status != 200 {
		t.Errorf("an odd search: %d %s", r.Status, r.Text)
	}
}

func TestScanLeadsOn(t *testing.T) {
	h, tags := shelved(t)
	for text, to := range map[string]string{
		tags[3]: "/cylinders/" + tags[3], "7K-2206": "/cylinders?stage=all&q=7K-2206", "Q4": "/items/Q4", "no such thing": "/cylinders?stage=all&q=no+such+thing",
	} {
		r := h.page(auth.Viewer, "/scan?text="+url.QueryEscape(text))
		if r.Status != http.StatusSeeOther || r.Header.Get("Location") != to {
			t.Errorf("%q leads to %d %q", text, r.Status, r.Header.Get("Location"))
		}
		if landed := h.page(auth.Viewer, to); landed.Status != 200 {
			t.Errorf("%s: %d", to, landed.Status)
		}
	}
	if a := h.must(auth.Viewer, "GET", "/scan?text="+strings.ToLower(tags[3]), ""); a["kind"] != "cylinder" || a["tag"] != tags[3] || a["url"] != "/cylinders/"+tags[3] {
		t.Errorf("%v", a)
	}
}

func TestMoveByFormAndByProgram(t *testing.T) {
	h, tags := shelved(t)
	path := "/cylinders/" + tags[0]
	r := h.submit(auth.Clerk, path+"/move", url.Values{"place": {"BENCH"}, "version": {"1"}})
	if r.Status != http.StatusSeeOther || !strings.HasPrefix(r.Header.Get("Location"), path+"?done=") {
		t.Fatalf("%d %s", r.Status, r.Text)
	}
	shows(t, "the page after", h.page(auth.Clerk, r.Header.Get("Location")).Text, "It is at BENCH now.", "move: put at BENCH")
	stale := h.submit(auth.Clerk, path+"/move", url.Values{"place": {"CAGE"}, "version": {"1"}})
	shows(t, "a stale form", stale.Text, "is at version 2 now", "<details open><summary>Put it somewhere else", `<option value="CAGE" selected>`)
	if stale.Status != http.StatusConflict {
		t.Errorf("a stale form: %d", stale.Status)
	}
	if a := h.must(auth.Clerk, "POST", path+"/move", `{"place":"CAGE","version":2}`); a["place"] != "CAGE" || a["version"] != 3.0 {
		t.Errorf("%v", a)
	}
	if r := h.call(auth.Technician, "POST", path+"/move", `{"place":"BENCH"}`); r.Status != http.StatusForbidden {
		t.Errorf("a technician: %d %s", r.Status, r.Text)
	}
}

func TestReadingByForm(t *testing.T) {
	h, tags := shelved(t)
	path := "/cylinders/" + tags[0] + "/reading"
	wrong := h.submit(auth.Technician, path, url.Values{"pressure": {"1000"}, "pressure.unit": {"bar"}, "gauge": {"digital"}, "temperature": {"room"}})
	shows(t, "1000 bar", wrong.Text, "above 75.9 bar", `value="1000"`, `name="pressure" value="1000 psi"`, "Take it as 1000 psi", `<option value="digital" selected>`, `value="room"`)
	if wrong.Status != http.StatusConflict {
		t.Errorf("status %d", wrong.Status)
	}
	right := h.submit(auth.Technician, path, url.Values{"pressure": {"68"}, "pressure.unit": {"bar"}, "gauge": {"digital"}, "temperature": {"room"}})
	if right.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", right.Status, right.Text)
	}
	shows(t, "the page after", h.page(auth.Technician, "/cylinders/"+tags[0]).Text, "68.0 bar at 21 °C", "measured 3 Mar 2027", "gauge digital", "69.0 bar", "68.0 bar")

	lost := url.Values{"pressure": {"50"}, "pressure.unit": {"bar"}, "gauge": {"digital"}, "temperature": {"room"}}
	asked := h.submit(auth.Technician, path, lost)
	shows(t, "a loss", asked.Text, "a leak is suspected", `name="reasons.R34"`, `name="hold_leak"`)
	lost.Del("key")
	lost.Set("hold_leak", "true")
	if r := h.submit(auth.Technician, path, lost); r.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", r.Status, r.Text)
	}
	shows(t, "a leaking cylinder", h.page(auth.Technician, "/cylinders/"+tags[0]).Text, "leave first, warn others", "Emergency numbers of the site:", "do not use", "Leak suspected")
}

func TestHoldAndReleaseByForm(t *testing.T) {
	h, tags := shelved(t)
	form := url.Values{"on.kind": {"cylinder"}, "on.id": {tags[0]}, "reason": {"Damaged/doubtful"}, "text": {"dent at the foot"}}
	r := h.submit(auth.Technician, "/holds?at="+tags[0], form)
	if to := r.Header.Get("Location"); r.Status != http.StatusSeeOther || !strings.HasPrefix(to, "/cylinders/"+tags[0]) {
		t.Fatalf("%d to %q: %s", r.Status, to, r.Text)
	}
	form.Del("key") // not the same tap twice, but a second hold
	again := h.submit(auth.Technician, "/holds?at="+tags[0], form)
	shows(t, "the second hold", again.Text, "is on hold for &#34;Damaged/doubtful&#34; already", `value="dent at the foot"`, "<details open><summary>Put it on hold")
	hold := h.must(auth.Viewer, "GET", "/holds", "")["rows"].([]any)[0].(map[string]any)
	path := fmt.Sprintf("/holds/%v", hold["id"])
	if hold["reason"] != "Damaged/doubtful" || hold["on"] != "cylinder "+tags[0] || hold["by"] != "technician in person" {
		t.Errorf("%v", hold)
	}
	if r := h.call(auth.Technician, "POST", path+"/release", `{"evidence":"looked at"}`); r.Status != http.StatusForbidden {
		t.Errorf("a technician: %d %s", r.Status, r.Text)
	}
	chosen := strings.Replace(path, "/holds/", "/holds?release=", 1)
	shows(t, "the list", h.page(auth.Supervisor, chosen).Text, `action="`+path+`/release"`, "dent at the foot", "Release the hold on cylinder "+tags[0])
	shows(t, "the cylinder", h.page(auth.Supervisor, "/cylinders/"+tags[0]+"?release="+fmt.Sprint(hold["id"])).Text, `action="`+path+`/release?at=`+tags[0]+`"`)
	bare := h.submit(auth.Supervisor, path+"/release?at="+tags[0], url.Values{"evidence": {""}})
	shows(t, "no evidence", bare.Text, `id="f-evidence-fault"`, "Cylinder "+tags[0])
	if r := h.submit(auth.Supervisor, path+"/release", url.Values{"evidence": {"it is paint"}}); r.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", r.Status, r.Text)
	}
	late := h.submit(auth.Supervisor, path+"/release", url.Values{"evidence": {"me too"}})
	shows(t, "the second release", late.Text, "was released by supervisor in person already")
	if late.Status != http.StatusConflict {
		t.Errorf("the second release: %d", late.Status)
	}
	shows(t, "nothing on hold", h.page(auth.Supervisor, "/holds").Text, "Nothing is on hold")
	for path, status := range map[string]int{"/holds/99/release": 404, "/holds/x/release": 404} {
		if r := h.call(auth.Supervisor, "POST", path, `{"evidence":"x"}`); r.Status != status {
			t.Errorf("%s: %d %s", path, r.Status, r.Text)
		}
	}
}

func TestHoldByProgramTakesNumbersAndText(t *testing.T) {
	h, tags := shelved(t)
	lot := h.must(auth.Viewer, "GET", "/cylinders/"+tags[0], "")["lot_id"]
	leak := h.must(auth.Purchaser, "POST", "/holds", fmt.Sprintf(`{"on":{"kind":"lot","id":%v},"reason":"Leak suspected","text":"smell"}`, lot))
	if !strings.Contains(leak["caution"].(string), "leave first") || leak["on"] != "lot 7K-2206" {
		t.Errorf("%v", leak)
	}
	if r := h.call(auth.Viewer, "POST", "/holds", `{"on":{"kind":"item","id":"Q4"},"reason":"Recall"}`); r.Status != http.StatusForbidden {
		t.Errorf("a viewer: %d", r.Status)
	}
	r := h.call(auth.Clerk, "POST", "/holds", `{"on":{"kind":"item","id":"Q4"},"reason":"Because"}`)
	if r.Status != http.StatusUnprocessableEntity || !strings.Contains(r.Text, "Certificate missing, Short-dated") {
		t.Errorf("%d %s", r.Status, r.Text)
	}
}

func TestLedgerForBoth(t *testing.T) {
	h, tags := shelved(t)
	first := h.must(auth.Viewer, "GET", "/ledger?limit=2", "")
	rows := first["rows"].([]any)
	if one := rows[0].(map[string]any); len(rows) != 2 || one["seq"] != 1.0 || one["previous_hash"] != "" || first["next"] != 2.0 {
		t.Errorf("%v", first)
	}
	if second := rows[1].(map[string]any); second["previous_hash"] != rows[0].(map[string]any)["hash"] {
		t.Errorf("the chain is broken: %v", rows)
	}
	newest := h.page(auth.Viewer, "/ledger?limit=3")
	shows(t, "the newest part", newest.Text, "cylinder "+tags[7]+"</a>", `href="/cylinders/`+tags[7]+`"`, "to CAGE", "Earlier entries")
	if strings.Contains(newest.Text, "Later entries") {
		t.Error("there is nothing later than the newest")
	}
	shows(t, "an earlier part", h.page(auth.Viewer, "/ledger?after=0&limit=3").Text, "Later entries", "The newest")
	about := h.page(auth.Viewer, "/ledger?subject=cylinder:"+tags[0])
	shows(t, "one cylinder's part", about.Text, "Entries about <a", "cylinder "+tags[0]+"</a>", "pressure_pa")
	h.must(auth.Clerk, "POST", "/cylinders/"+tags[0]+"/move", `{"place":"BENCH"}`)
	moved := h.page(auth.Viewer, "/ledger?limit=2").Text
	shows(t, "a move", moved, "CAGE → BENCH", "entries ")
	if n := strings.Count(moved, `data-label="Who"`); n != 1 {
		t.Errorf("a move stands in %d lines", n)
	}
	if r := h.call(auth.Viewer, "GET", "/ledger?after=x", ""); r.Status != http.StatusUnprocessableEntity {
		t.Errorf("%d", r.Status)
	}
}

package handlers

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"

	"spanroom/internal/auth"
)

// furnish puts into the catalogue what the contract has as its examples.
func (h *house) furnish() {
	h.t.Helper()
	for _, thing := range []struct{ path, body string }{
		{"/suppliers", `{"code":"northbank","name":"Northbank Gases","lead_time_days":42,"lead_time_sd_days":8}`},
		{"/places", `{"code":"CAGE","name":"Outdoor cage","kind":"cage"}`},
		{"/places", `{"code":"BENCH","kind":"bench"}`},
		{"/blends", `{"code":"Q4","name":"four-gas","balance":"N2","components":[{"component":"CH4","amount":"2.5 %vol"},{"component":"O2","amount":"18 %vol"},
			{"component":"CO","amount":"100 ppm"},{"component":"H2S","amount":"25 ppm"}]}`},
		{"/items", `{"code":"Q4","kind":"gas","blend":"Q4","water_volume":"1.0 L","fill_pressure":"69 bar","outlet":"C-10","refillable":false,"cutoff":"2.0 bar",
			"sources":[{"supplier":"northbank","article":"00417","pack":1,"moq":6,"price":"78.00 EUR","minimum_life_days":180}]}`},
		{"/items", `{"code":"FILTER-H","kind":"filter","name":"hydrophobic filter","sources":[{"supplier":"northbank","article":"0F-12","pack":10,"moq":10,"price":"31.50 EUR"}]}`},
		{"/items", `{"code":"TUBE","kind":"tubing","counted_in":"m"}`},
	} {
		h.must(auth.Supervisor, "POST", thing.path, thing.body)
	}
}

const eightOfQ4 = `{"supplier":"northbank","item":"Q4","lot":"7K-2206","counted":8,"filled_on":"2026-10-01","place":"CAGE","label_expires_on":"2027-10-01",
	"certificate":{"number":"C-881","issued_on":"2026-10-05","expires_on":"2027-10-01","values":[{"component":"CH4","amount":"2.52 %vol"},{"component":"O2","amount":"18.1 %vol"},
	{"component":"CO","amount":"99 ppm","uncertainty":"2 ppm"},{"component":"H2S","amount":"24.6 ppm","uncertainty":"0.5 ppm"}]}}`

// eightOfQ4Form is the same delivery as the form sends it.
func eightOfQ4Form() url.Values {
	return url.Values{
		"supplier": {"northbank"}, "item": {"Q4"}, "lot": {"7K-2206"}, "counted": {"8"}, "filled_on": {"2026-10-01"}, "place": {"CAGE"}, "label_expires_on": {"1 Oct 2027"},
		"certificate.kind": {"analysis"}, "certificate.number": {"C-881"}, "certificate.issued_on": {"2026-10-05"}, "certificate.expires_on": {"1 Oct 2027"},
		"certificate.values.0.component": {"CH4"}, "certificate.values.0.amount": {"2.52"}, "certificate.values.0.amount.unit": {"%vol"},
		"certificate.values.1.component": {"O2"}, "certificate.values.1.amount": {"18.1"}, "certificate.values.1.amount.unit": {"%vol"},
		"certificate.values.2.component": {"CO"}, "certificate.values.2.amount": {"99 ppm"}, "certificate.values.2.amount.unit": {"%vol"},
		"certificate.values.3.component": {"H2S"}, "certificate.values.3.amount": {"24.6"}, "certificate.values.3.amount.unit": {"ppm"},
		"certificate.values.3.uncertainty": {"2"}, "certificate.values.3.uncertainty.unit": {"%rel"},
		"pressure": {""}, "pressure.unit": {"bar"}, "pressure_source": {"fill"}, "serials": {"a-1\r\na-2"},
		"cylinders.0.serial": {""}, "cylinders.0.pressure.unit": {"bar"}, "cylinders.0.checks.cap": {""},
		"cylinders.1.serial": {"a-2"}, "cylinders.1.checks.cap": {"false"},
	}
}

func TestReceiveByJSON(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	h.furnish()
	r := h.call(auth.Clerk, "POST", "/receipts", eightOfQ4)
	if r.Status != http.StatusCreated {
		t.Fatalf("status %d: %s", r.Status, r.Text)
	}
	lot, cylinders := r.JSON["lot"].(map[string]any), r.JSON["cylinders"].([]any)
	governed := lot["governed_by"].(map[string]any)
	if len(cylinders) != 8 || lot["lot"] != "7K-2206" || lot["supplier"] != "northbank" || lot["use_by"] != lot["expires_on"] || lot["supplier_expires_on"] != "2027-10-01" || governed["term"] == nil || governed["components"] == nil {
		t.Errorf("the answer is %s", r.Text)
	}
	first := cylinders[0].(map[string]any)
	if first["place"] != "CAGE" || len(first["holds"].([]any)) != 0 || first["tag"] == "" {
		t.Errorf("the first cylinder is %v", first)
	}
	read := h.must(auth.Viewer, "GET", fmt.Sprintf("/receipts/%v", r.JSON["receipt"]), "")
	if read["counted"] != 8.0 || read["by"] != "clerk" {
		t.Errorf("read again: %v", read)
	}
	list := h.must(auth.Viewer, "GET", "/receipts?limit=1", "")
	if len(list["rows"].([]any)) != 1 || list["next"] != 0.0 {
		t.Errorf("the list is %v", list)
	}
}

func TestReceiveRefusals(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	h.furnish()
	for _, c := range []struct {
		name, body string
		role       auth.Role
		status     int
		says       string
	}{
		{"a purchaser", eightOfQ4, auth.Purchaser, 403, "may not receive"},
		{"not JSON", `{`, auth.Clerk, 400, "cannot be read"},
		{"an unknown field", `{"suplier":"x"}`, auth.Clerk, 422, "suplier"},
		{"a bare number", strings.Replace(eightOfQ4, `"99 ppm"`, `99`, 1), auth.Clerk, 422, "certificate.values.2.amount"},
		{"S12 more than the whole", strings.Replace(eightOfQ4, `"99 ppm"`, `"100 %vol"`, 1), auth.Clerk, 409, "R5d"},
		{"S91 two dates", strings.Replace(eightOfQ4, `"label_expires_on":"2027-10-01"`, `"label_expires_on":"2027-09-01"`, 1), auth.Clerk, 409, `"severity":"ask"`},
		{"a huge count", strings.Replace(eightOfQ4, `"counted":8`, `"counted":1000000000`, 1), auth.Clerk, 422, "counted"},
	} {
		if r := h.call(c.role, "POST", "/receipts", c.body); r.Status != c.status || !strings.Contains(r.Text, c.says) {
			t.Errorf("%s: %d %s", c.name, r.Status, r.Text)
		}
	}
	for path, status := range map[string]int{"/receipts/99": 404, "/receipts/x": 404, "/receipts?after=x": 422, "/receipts?limit=0": 422} {
		if r := h.call(auth.Viewer, "GET", path, ""); r.Status != status {
			t.Errorf("%s: %d %s", path, r.Status, r.Text)
		}
	}
}

func TestReceiveByForm(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	h.furnish()
	r := h.submit(auth.Clerk, "/receipts", eightOfQ4Form())
	to := r.Header.Get("Location")
	if r.Status != http.StatusSeeOther || !strings.HasPrefix(to, "/receipts/") {
		t.Fatalf("status %d to %q: %s", r.Status, to, r.Text)
	}
	page := h.page(auth.Clerk, to)
	for _, want := range []string{"8 of Q4 from Northbank Gases", "SITE USE-BY 1 Oct 2027", "SUPPLIER EXPIRY 1 Oct 2027", "A-1", "Damaged/doubtful", "cap missing or damaged", "H2S 24.6 ppm", "Secure cylinders"} {
		if !strings.Contains(page.Text, want) {
			t.Errorf("the receipt does not say %q", want)
		}
	}
	labels := h.page(auth.Viewer, to+"/labels")
	if n := strings.Count(labels.Text, "label-58x40"); n != 8 || strings.Count(labels.Text, "<svg") < 8 {
		t.Errorf("%d labels of 8 cylinders", n)
	}
	if list := h.page(auth.Viewer, "/receipts"); !strings.Contains(list.Text, `href="`+to+`"`) || strings.Contains(list.Text, `href="/receipts/new">Goods in`) {
		t.Error("a viewer's list has no link to the receipt, or one to goods in")
	}
}

func TestReceiveFormComesBackAsTyped(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	h.furnish()
	for _, c := range []struct {
		name   string
		change func(url.Values)
		status int
		says   []string
	}{
		{"a wrong field", func(f url.Values) { f.Set("counted", "many") }, 422, []string{`value="many"`, `id="f-counted-fault"`, `value="7K-2206"`, `value="24.6"`}},
		{"a date that reads two ways", func(f url.Values) { f.Set("label_expires_on", "05/04/27") }, 422, []string{`value="05/04/27"`, "5 Apr 2027", "4 May 2027"}},
		{"an ask has its reason in place", func(f url.Values) { f.Set("label_expires_on", "1 Sep 2027") }, 409, []string{`name="reasons.R7"`, "the label says 1 Sep 2027"}},
		{"S13 one tap takes it as psi", func(f url.Values) { f.Set("pressure", "1000") }, 409, []string{"above 75.9 bar", "1000 psi = 68.9 bar?", `name="pressure" value="1000 psi"`, "Take it as 1000 psi"}},
	} {
		form := eightOfQ4Form()
		c.change(form)
		r := h.submit(auth.Clerk, "/receipts", form)
		if r.Status != c.status {
			t.Errorf("%s: status %d", c.name, r.Status)
		}
		for _, want := range append(c.says, "Receive") {
			if !strings.Contains(r.Text, want) {
				t.Errorf("%s: the form does not say %q", c.name, want)
			}
		}
	}
	form := eightOfQ4Form()
	form.Set("label_expires_on", "1 Sep 2027")
	form.Set("reasons.R7", "the supplier confirms the label")
	if r := h.submit(auth.Clerk, "/receipts", form); r.Status != http.StatusSeeOther {
		t.Errorf("with the reason: %d %s", r.Status, r.Text)
	}
}

func TestReceiveFormAsksForTheItemFirst(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	h.furnish()
	for path, want := range map[string][]string{
		"/receipts/new": {`<form class="order" method="get"`, `value="FILTER-H"`},
		"/receipts/new?item=Q4&supplier=northbank": {`name="certificate.values.3.component" value="H2S"`, "nominal 25 ppm", `<option value="northbank" selected>`, "1 L, 69 bar, CGA C-10"},
		"/receipts/new?item=FILTER-H":              {`name="counted"`},
		"/receipts/new?item=TUBE":                  {`name="quantity"`},
	} {
		page := h.page(auth.Clerk, path)
		for _, part := range want {
			if page.Status != 200 || !strings.Contains(page.Text, part) {
				t.Errorf("%s: status %d, without %q", path, page.Status, part)
			}
		}
	}
	if page := h.page(auth.Clerk, "/receipts/new?item=FILTER-H"); strings.Contains(page.Text, "certificate.") {
		t.Error("a filter has a certificate")
	}
}

func TestReceiveConsumables(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	h.furnish()
	r := h.must(auth.Clerk, "POST", "/receipts", `{"supplier":"northbank","item":"TUBE","quantity":"25 m","place":"BENCH"}`)
	if r["quantity_m"] != 25.0 || r["lot"] != nil {
		t.Errorf("the answer is %v", r)
	}
	res := h.submit(auth.Clerk, "/receipts", url.Values{"supplier": {"northbank"}, "item": {"FILTER-H"}, "counted": {"10"}, "noted": {""}, "order": {""}, "place": {"BENCH"}})
	page := h.page(auth.Clerk, res.Header.Get("Location"))
	if res.Status != http.StatusSeeOther || !strings.Contains(page.Text, "10 of hydrophobic filter, FILTER-H from Northbank Gases") {
		t.Errorf("status %d, %s", res.Status, page.Text)
	}
}

// A double tap sends the same form with the same hidden key twice; a program sends the same idempotency key.
func TestS17ADoubleTapIsOneReceipt(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	h.furnish()
	form := eightOfQ4Form()
	session := h.session(auth.Clerk)
	form.Set("csrf", auth.CSRF(session))
	form.Set("key", "0123456789abcdef")
	locations := make([]string, 4)
	var taps sync.WaitGroup
	for i := range locations {
		taps.Go(func() {
			req := request("POST", "/receipts", "application/x-www-form-urlencoded", form.Encode())
			req.Header.Set("Sec-Fetch-Site", "same-origin")
			req.AddCookie(&http.Cookie{Name: sessionCookie, Value: session})
			res, err := h.app.fiber.Test(req, -1)
			if err != nil {
				t.Error(err)
				return
			}
			locations[i] = res.Header.Get("Location")
		})
	}
	taps.Wait()
	for _, to := range locations {
		if to == "" || to != locations[0] {
			t.Errorf("the taps lead to %q", locations)
		}
	}
	first := h.call(auth.Clerk, "POST", "/receipts", strings.Replace(eightOfQ4, "7K-2206", "8A-1", 1), "Idempotency-Key", "k1")
	again := h.call(auth.Clerk, "POST", "/receipts", strings.Replace(eightOfQ4, "7K-2206", "8A-1", 1), "Idempotency-Key", "k1")
	if first.Status != 201 || first.Text != again.Text {
		t.Errorf("the same key has two answers: %d %s and %d %s", first.Status, first.Text, again.Status, again.Text)
	}
	if r := h.call(auth.Clerk, "POST", "/receipts", eightOfQ4, "Idempotency-Key", "k1"); r.Status != 422 {
		t.Errorf("the same key with another body: %d", r.Status)
	}
	if list := h.must(auth.Viewer, "GET", "/receipts", ""); len(list["rows"].([]any)) != 2 {
		t.Errorf("there are %d receipts of two deliveries", len(list["rows"].([]any)))
	}
}

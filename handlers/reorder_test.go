package handlers

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"spanroom/internal/auth"
)

// orderingHouse has four-gas below its level, chlorine to decide, and filters that nobody uses.
func orderingHouse(t *testing.T) *house {
	t.Helper()
	h := newHouse(t, "2027-03-03T09:00:00Z")
	var monitors []string
	for i := range 56 {
		monitors = append(monitors, fmt.Sprintf(`"D-%03d"`, i+1))
	}
	for _, step := range []struct{ path, body string }{
		{"/settings", `{"zone":"Europe/Amsterdam","retry_pct":0}`},
		{"/suppliers", `{"code":"northbank","name":"Northbank Gases","lead_time_days":42,"lead_time_sd_days":8}`},
		{"/places", `{"code":"CAGE","name":"Outdoor cage","kind":"cage"}`},
		{"/blends", `{"code":"Q4","balance":"N2","components":[{"component":"CH4","amount":"2.5 %vol"},{"component":"H2S","amount":"25 ppm"}]}`},
		{"/blends", `{"code":"CL","balance":"N2","components":[{"component":"Cl2","amount":"10 ppm"}]}`},
		{"/items", `{"code":"Q4","name":"four-gas","kind":"gas","blend":"Q4","water_volume":"1.0 L","fill_pressure":"69 bar","outlet":"C-10","cutoff":"2.0 bar","sources":[{"supplier":"northbank","article":"00417","pack":1,"moq":6,"price":"78.00 EUR","minimum_life_days":180}]}`},
		{"/items", `{"code":"CL","kind":"gas","blend":"CL","water_volume":"1.7 L","fill_pressure":"69 bar","outlet":"C-10","cutoff":"3.5 bar","sources":[{"supplier":"northbank","article":"3E5","pack":1,"moq":6,"price":"210.00 EUR","minimum_life_days":182}]}`},
		{"/items", `{"code":"FILTER-H","kind":"filter","name":"hydrophobic filter","sources":[{"supplier":"northbank","article":"0F-12","pack":10,"moq":10,"price":"31.50 EUR"}]}`},
		{"/procedures", `{"code":"bump-q4","purpose":"bump","blend":"Q4","flow":"0.3 L/min","duration":"30 s","purge":"0.3 L"}`},
		{"/procedures", `{"code":"bump-cl","purpose":"bump","blend":"CL","flow":"1.0 L/min","duration":"1 min","conditioning":"5 min"}`},
		{"/rounds", `{"code":"monitors","instruments":[` + strings.Join(monitors, ",") + `],"tests":[{"procedure":"bump-q4","times_per_week":4}],"sessions_per_week":10}`},
		{"/rounds", `{"code":"ashbeck","instruments":["C-01","C-02","C-03","C-04","C-05","C-06"],"tests":[{"procedure":"bump-cl","times_per_week":1.7}],"sessions_per_week":1}`},
		{"/receipts", `{"supplier":"northbank","item":"Q4","lot":"7K-2206","counted":4,"filled_on":"2026-10-01","place":"CAGE","label_expires_on":"2027-03-24","certificate":{"number":"C-1","issued_on":"2026-10-02","expires_on":"2027-03-24","values":[{"component":"CH4","amount":"2.5 %vol"},{"component":"H2S","amount":"25 ppm"}]},"reasons":{"R5e":"taken as a stopgap","R7":"compared","R20":"-","R5c":"-"}}`},
	} {
		h.must(auth.Supervisor, "POST", step.path, step.body)
	}
	for _, row := range h.must(auth.Purchaser, "GET", "/holds", "")["rows"].([]any) { // the lot came short-dated
		h.must(auth.Supervisor, "POST", fmt.Sprintf("/holds/%v/release", row.(map[string]any)["id"]), `{"evidence":"the short life is accepted"}`)
	}
	return h
}

func TestReorderAnswersPrograms(t *testing.T) {
	h := orderingHouse(t)
	r := h.call(auth.Viewer, "GET", "/reorder", "")
	var answer struct {
		Snapshot string
		AsOf     string `json:"as_of"`
		Lines    []map[string]any
		Totals   []map[string]any
		Notes    []string
	}
	if err := json.Unmarshal([]byte(r.Text), &answer); err != nil || r.Status != 200 {
		t.Fatalf("%d %v: %s", r.Status, err, r.Text)
	}
	if len(answer.Lines) != 3 || answer.Lines[0]["item"] != "CL" || answer.Lines[0]["state"] != "decide" || answer.Lines[1]["item"] != "Q4" {
		t.Fatalf("lines %v", answer.Lines)
	}
	q4 := answer.Lines[1]
	for _, name := range []string{"item", "unit", "usable", "on_order", "forecast", "level", "order_by", "needed_by", "proposed_packs", "q_max", "expected_waste", "decide", "lots", "why"} {
		if _, there := q4[name]; !there {
			t.Errorf("a line has no %s", name)
		}
	}
	if q4["unit"] != "cylinder" || q4["order_by"] != "2027-03-03" || q4["needed_by"] != "2027-04-14" || q4["decide"] != nil || q4["proposed_packs"] != 6.0 || q4["cost"] != "468.00 EUR" {
		t.Errorf("four-gas: %v", q4)
	}
	if len(answer.Totals) != 1 || answer.Totals[0]["currency"] != "EUR" || answer.AsOf != "2027-03-03T09:00:00.000Z" || !strings.Contains(answer.Notes[0], "Open orders are not known") {
		t.Errorf("totals %v as of %s, notes %v", answer.Totals, answer.AsOf, answer.Notes)
	}
}

func TestReorderPage(t *testing.T) {
	h := orderingHouse(t)
	page := h.page(auth.Purchaser, "/reorder")
	if page.Status != 200 {
		t.Fatalf("%d %s", page.Status, page.Text)
	}
	for _, want := range []string{
		"<strong>1</strong> to decide", "<strong>1</strong> to order now", "Open orders are not known here yet", `href="/reorder.xlsx"`, "Download workbook",
		"MOQ 6, only 3 used before use-by", "Ways out for CL", "delivered 3 + 3", "6 packs", "468.00 EUR", "from Northbank Gases, 00417", "7K-2206", "limited by the certificate",
		"By the schedule", "By history", "Reorder level", "Use-by cliff of Q4",
	} {
		if !strings.Contains(html.UnescapeString(page.Text), want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if decide, order := strings.Index(page.Text, `id="line-CL"`), strings.Index(page.Text, `id="line-Q4"`); decide < 0 || order < decide {
		t.Errorf("what is to decide stands at %d, what is to order at %d", decide, order)
	}
	chosen := h.page(auth.Viewer, "/reorder?item=Q4")
	for _, want := range []string{"Use-by cliff of Q4", `class="cliff-shelf" d="M56 `, "order by 3 Mar", "arrives 14 Apr", "expire, 24 Mar", "reorder level", "unused after 24 Mar 2027 (lot 7K-2206)"} {
		if !strings.Contains(html.UnescapeString(chosen.Text), want) {
			t.Errorf("the picture lacks %q", want)
		}
	}
	if bare := h.page(auth.Viewer, "/reorder?item=CL"); !strings.Contains(bare.Text, "There is no stock of CL to draw") || strings.Contains(bare.Text, "<svg role") {
		t.Error("a line without stock must say so and draw nothing")
	}
	if lost := h.page(auth.Viewer, "/reorder?item=<b>"); lost.Status != 404 || strings.Contains(lost.Text, "<b>") || !strings.Contains(lost.Text, "the plan has no line for") {
		t.Errorf("an item that is not planned: %d", lost.Status)
	}
}

func TestReorderPageOfANewStore(t *testing.T) {
	page := newHouse(t, "2027-03-03T09:00:00Z").page(auth.Purchaser, "/reorder")
	if page.Status != 200 || !strings.Contains(page.Text, "There is nothing to plan yet") || strings.Contains(page.Text, "<table") {
		t.Errorf("%d %s", page.Status, page.Text)
	}
}

func TestReorderWorkbookIsDownloaded(t *testing.T) {
	h := orderingHouse(t)
	h.session(auth.Purchaser)
	snapshot := h.must(auth.Viewer, "GET", "/reorder", "")["snapshot"].(string)
	for name, r := range map[string]reply{"a program": h.call(auth.Viewer, "GET", "/reorder.xlsx", ""), "a person": h.page(auth.Purchaser, "/reorder.xlsx")} {
		if r.Status != 200 || r.Header.Get("Content-Type") != xlsx || !strings.Contains(r.Header.Get("Content-Disposition"), `attachment; filename="reorder-`+snapshot+`.xlsx"`) {
			t.Fatalf("%s: %d %v", name, r.Status, r.Header)
		}
		f, err := excelize.OpenReader(bytes.NewReader([]byte(r.Text)))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := f.GetCellValue("Order", "C7"); err != nil || got != "00417" {
			t.Errorf("%s: article number %q, %v", name, got, err)
		}
		if err := f.Close(); err != nil {
			t.Error(err)
		}
	}
	if r := h.call("", "GET", "/reorder.xlsx", ""); r.Status != 401 {
		t.Errorf("nobody in particular gets %d", r.Status)
	}
}

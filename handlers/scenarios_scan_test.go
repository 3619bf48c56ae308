package handlers

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// scanOf is the request of a scan, its separators and all.
func scanOf(text string) string { return "GET /scan?text=" + url.QueryEscape(text) }

func TestScenariosOfScans(t *testing.T) {
	delivered := lot{from: "northbank", item: "Q4", lot: "7K-2206", n: 3, filled: "2026-10-01", expires: "2027-10-01", more: `,"serials":["NB-1","NB-2"]`}
	ammonia := lot{from: "ferrow", item: "NH", lot: "7K-2206", n: 2, filled: "2027-01-10", expires: "2027-12-01", more: `,"serials":["NB-1"]`}
	known := step{as: auth.Clerk, do: receive, body: delivered.json(), keep: "A"}
	play(t, []scenario{
		{name: "S03 a label of one lot text from two suppliers", steps: []step{
			known,
			{as: auth.Clerk, do: receive, body: ammonia.json(), keep: "B"},
			{as: auth.Viewer, do: scanOf("(01)09521234543220(10)7K-2206"), page: []string{"Northbank Gases", "Ferrow Specialty"}, gives: fields{"kind": "lot", "gs1.supplier": "ferrow", "gs1.item_code": "NH"}},
			{as: auth.Viewer, do: scanOf("(01)09521234543220(10)7K-2206(21)NB-1"), page: []string{"{B1}", "Ferrow Specialty"}, gives: fields{"kind": "cylinder", "tag": "{B1}", "url": "/cylinders/{B1}"}},
			{as: auth.Viewer, do: scanOf("010952123454321310" + "7K-2206\x1d21NB-1"), page: []string{"{A1}"}, gives: fields{"tag": "{A1}"}},
			{as: auth.Viewer, do: scanOf("NB-1"), page: []string{"{A1}", "{B1}"}, gives: fields{"kind": "serial", "tag": ""}},
			{as: auth.Viewer, do: scanOf("nb-2"), page: []string{"{A2}"}, gives: fields{"kind": "serial", "tag": "{A2}"}},
		}},
		{name: "S05 day 00 is the last of the month", steps: []step{
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "L-28", n: 1, filled: "11260201", expires: "17280200"}.json(), gives: fields{"lot.supplier_expires_on": "2028-02-29", "lot.filled_on": "2026-02-01", "cylinders.0.holds.#": 0}},
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "L-27", n: 1, filled: "2026-02-01", expires: "(17)270200"}.json(), says: []string{"28 Feb 2027, has passed already"},
				gives: fields{"lot.supplier_expires_on": "2027-02-28", "cylinders.0.holds.0.reason": "Short-dated"}},
			{as: auth.Clerk, do: scanOf("(01)09521234543213(10)L-30(17)280200"), page: []string{"Read from the label: lot L-30, expiry 29 Feb 2028", `value="2028-02-29"`, `value="L-30"`},
				gives: fields{"kind": "gs1", "gs1.expires_on": "2028-02-29", "url": "/receipts/new?item=Q4&label_expires_on=2028-02-29&lot=L-30&supplier=northbank"}},
			{as: auth.Technician, do: scanOf("(01)09521234543213(10)L-30(17)280200"), page: []string{"No cylinder is like this"}, gives: fields{"url": "/cylinders?stage=all&q=L-30"}},
		}},
		{name: "S06 month 13", steps: []step{
			{as: auth.Clerk, do: scanOf("(17)271345"), says: []string{"month 13", "a year has 12"}, page: []string{"This code cannot be used", "Nothing is saved"},
				gives: fields{"kind": "gs1", "url": "", "gs1.problem": "date_month", "gs1.expires_on": "", "gs1.elements.#": 0, "gs1.findings.0.severity": "stop"}},
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "L-1", n: 1, filled: "2026-02-01", expires: "(17)271345"}.json(), want: 422, field: "label_expires_on", says: []string{"month 13"}},
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "L-1", n: 1, filled: "2026-02-01", expires: "17270431"}.json(), want: 422, field: "label_expires_on", says: []string{"day 31 of month 04"}},
			{as: auth.Viewer, do: "GET /receipts", gives: fields{"rows.#": 0}},
		}},
		{name: "R4 a separator that may be missing is asked about", steps: []step{
			{as: auth.Clerk, do: scanOf("0109521234543213107K-220617271001"), says: []string{"may hold more than one element"}, page: []string{"Which is it?", "lot 7K-220617271001", "lot 7K-2206, expiry 1 Oct 2027"},
				gives: fields{"kind": "gs1", "url": "", "choices.#": 2, "gs1.split.#": 3, "gs1.findings.0.severity": "ask"}},
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "0109521234543213107K-220617271001", n: 1, filled: "2026-02-01", expires: "2027-10-01"}.json(), want: 422, field: "lot", says: []string{"is a code of the label and not what is printed"}},
		}},
		{name: "R4 a name of several things is a choice", steps: []step{
			{as: auth.Supervisor, do: "POST /instruments", body: `{"code":"NB-1","place":"VAN-1"}`},
			known,
			{as: auth.Technician, do: scanOf("NB-1"), page: []string{"Which is it?", "serial NB-1 of cylinder {A1}", "instrument NB-1", "Search for the text itself"}, gives: fields{"kind": "several", "url": "", "choices.#": 2, "choices.1.url": "/instruments/NB-1"}},
			{as: auth.Technician, do: scanOf("stoke"), page: []string{"Take"}, gives: fields{"kind": "round", "url": "/checkouts/new?round=stoke"}},
			{as: auth.Viewer, do: scanOf("cage"), page: []string{"{A1}"}, gives: fields{"kind": "place", "url": "/cylinders?place=CAGE"}},
			{as: auth.Viewer, do: scanOf("NB-"), page: []string{"{A1}", "{A2}"}, gives: fields{"kind": "text"}},
		}},
	})
}

// S20: a box comes back with a tag that cannot be read.
func TestScenariosOfLabels(t *testing.T) {
	play(t, []scenario{
		{name: "S20 one tag cannot be read", steps: []step{
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "7K-2206", n: 5, filled: "2026-10-01", expires: "2027-10-01", more: `,"serials":["NB-1","NB-2","NB-3","NB-44","NB-5"]`}.json(), keep: "A"},
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "CL", lot: "C-7", n: 1, filled: "2027-01-10", expires: "2027-12-01", more: `,"serials":["NB-4"]`}.json(), keep: "B"},
			{as: auth.Clerk, do: scanOf("NB-4"), page: []string{"{B1}"}, gives: fields{"kind": "serial", "tag": "{B1}"}},
			{as: auth.Clerk, do: "GET /cylinders?q=NB-4", says: []string{"{A4}", "{B1}"}, gives: fields{"rows.#": 2}},
			{as: auth.Clerk, do: scanOf("nb-2"), gives: fields{"tag": "{A2}"}},
			{as: auth.Technician, do: "POST /cylinders/{A2}/label", body: `{"fault":"washed out"}`, want: 403},
			{as: auth.Clerk, do: "POST /cylinders/{A2}/label", body: `{}`, want: 422, field: "fault"},
			{as: auth.Clerk, do: "POST /cylinders/{A2}/label", body: `{"fault":"washed out"}`, page: []string{"Label 2 of it counts now", "older ones are void"}},
			{as: auth.Viewer, do: "GET /cylinders/{A2}", says: []string{"label printed again, the older one is void", "print 2: washed out"}},
			{as: auth.Clerk, do: "POST /cylinders/{A2}/label", body: `{"fault":"torn"}`, page: []string{"Label 3 of it counts now"}},
			{as: auth.Viewer, do: "GET /ledger?subject=cylinder:{A2}", says: []string{"print 3: torn"}},
			{as: auth.Viewer, do: "GET /cylinders?last_holder=nobody", want: 422, field: "last_holder"},
		}},
	})
}

// The label says which print it is; the first says nothing.
func TestLabelsCarryTheNumberOfTheirPrint(t *testing.T) {
	h, tags := shelved(t)
	h.must(auth.Clerk, "POST", "/cylinders/"+tags[1]+"/label", `{"fault":"torn"}`)
	all := h.page(auth.Clerk, "/receipts/1/labels").Text
	if got := strings.Count(all, "; print 2"); got != 1 {
		t.Errorf("%d labels are a second print", got)
	}
	shows(t, "the one", h.page(auth.Clerk, "/receipts/1/labels?tag="+tags[1]).Text, tags[1], "; print 2")
	if one := h.page(auth.Clerk, "/receipts/1/labels?tag="+tags[0]).Text; strings.Contains(one, "print 2") {
		t.Error("a label of another cylinder is a second print")
	}
}

// S20: who had it last, and its size, leave three; one of them came back, one is still out with the same person.
func TestCylindersOfWhoHadThemLast(t *testing.T) {
	h, tags := shelved(t)
	take := func(as auth.Role, tag string) string {
		return fmt.Sprint(h.must(as, "POST", "/checkouts", `{"item":"Q4","cylinder":"`+tag+`","tests":[{"procedure":"bump-q4","count":2}],"reasons":{"R16":"it was in the hand"}}`)["id"])
	}
	back := func(id string) {
		h.must(auth.Clerk, "POST", "/checkouts/"+id+"/return", `{"pressure":"65 bar","gauge":"digital","place":"CAGE"}`)
	}
	back(take(auth.Technician, tags[0]))
	take(auth.Technician, tags[1])
	back(take(auth.Technician, tags[2]))
	back(take(auth.Technician, tags[3]))
	take(auth.Supervisor, tags[3])
	found := func(who string) (got []string) {
		for _, row := range h.must(auth.Viewer, "GET", "/cylinders?item=Q4&last_holder="+who, "")["rows"].([]any) {
			got = append(got, row.(map[string]any)["tag"].(string))
		}
		slices.Sort(got)
		return got
	}
	want := slices.Sorted(slices.Values(tags[:3]))
	if got := found("technician"); !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if got := found("supervisor"); !slices.Equal(got, tags[3:4]) {
		t.Errorf("of the supervisor %v", got)
	}
	page := h.page(auth.Clerk, "/cylinders?item=Q4&last_holder=technician").Text
	shows(t, "the shelf", page, append(slices.Clone(want), `name="last_holder" aria-describedby="f-last_holder-hint"`)...)
}

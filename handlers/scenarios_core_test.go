package handlers

import (
	"fmt"
	"testing"

	"spanroom/internal/auth"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// The way of a cylinder through the house is the same on each database: in, picked, out, tested, back, and counted by the plan.
func TestTheCorePathOnEachDatabase(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := houseOn(t, s, morning)
		h.settle()
		p := newPlayer(h, false)
		for i, st := range corePath {
			p.what = fmt.Sprintf("step %d", i+1)
			p.play(st)
		}
		h.verify()
		for _, path := range []string{"/", "/cylinders", "/cylinders/" + p.kept["A1"], "/checkouts/1", "/reorder", "/receipts/1", "/ledger", "/consumables", "/holds"} {
			if page := h.page(auth.Supervisor, path); page.Status != 200 {
				t.Errorf("%s: %d %s", path, page.Status, brieflyTold(page))
			}
		}
	})
}

var corePath = []step{
	{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "7K-2206", n: 8, filled: "2026-10-01", expires: "2027-10-01"}.json(), keep: "A", gives: fields{"cylinders.#": 8, "lot.use_by": "2027-10-01"}},
	{as: auth.Clerk, do: receive, body: `{"supplier":"northbank","item":"FILTER-H","counted":10,"place":"SHELF-A"}`},
	{as: auth.Technician, do: recommend, body: bumps(14, `,"place":"CAGE"`), keep: "tag", gives: fields{"need_l": 2.4, "pick.place": "CAGE", "pick.expires_on": "2027-10-01", "alternatives.#": 3}},
	{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{tag}","regulator":"R-01"`), keep: "out", gives: fields{"tag": "{tag}", "holder": "technician"}},
	{as: auth.Clerk, do: checkOut, body: bumps(14, `,"cylinder":"{tag}"`), want: 409, says: []string{"{tag} is with technician since 07:12, from CAGE"}},
	{as: auth.Technician, do: "POST /checkouts/{out}/tests", body: `{"instrument":"D-001","procedure":"bump-q4","result":"pass"}`},
	{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"68.5 bar","temperature":"room","gauge":"digital"}`, gives: fields{"verdict": "as_expected", "expected_l": 0.45, "place": "CAGE"}},
	{as: auth.Viewer, do: "GET /cylinders/{tag}", gives: fields{"stage": "opened", "opened_on": "2027-03-03", "pressure_bar": 68.5, "readiness.state": "usable"}},
	{as: auth.Technician, do: "POST /cylinders/{A8}/reading", body: `{"pressure":"69 bar"}`},
	{as: auth.Clerk, do: "POST /cylinders/{A8}/move", body: `{"place":"BENCH"}`},
	{as: auth.Technician, do: "POST /holds", body: `{"on":{"kind":"cylinder","id":"{A8}"},"reason":"Damaged/doubtful"}`, keep: "hold"},
	{as: auth.Supervisor, do: "POST /holds/{hold}/release", body: `{"evidence":"it is paint"}`},
	{as: auth.Technician, do: "POST /issues", body: `{"item":"FILTER-H","counted":1}`},
	{as: auth.Purchaser, do: "GET /reorder", gives: fields{"lines.Q4.on_hand": about(8), "lines.FILTER-H.on_hand": 9}},
	{as: auth.Viewer, do: "GET /cylinders?item=Q4&limit=3", gives: fields{"rows.#": 3}},
}

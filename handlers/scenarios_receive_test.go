package handlers

import (
	"net/http"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

const receive = "POST /receipts"

func TestScenariosOfLots(t *testing.T) {
	known := step{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "7K-2206", n: 3, filled: "2026-10-01", expires: "2027-10-01"}.json(), keep: "A"}
	play(t, []scenario{
		{name: "S03 one lot text from two suppliers", steps: []step{
			known,
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "NH", lot: "7K-2206", n: 2, filled: "2027-01-10", expires: "2027-12-01"}.json(), gives: fields{"lot.lot": "7K-2206", "lot.supplier": "ferrow", "lot.id": 2}},
			{as: auth.Viewer, do: "GET /scan?text=7k-2206", page: []string{"Northbank Gases", "Ferrow Specialty"}, gives: fields{"kind": "lot"}},
			{as: auth.Viewer, do: "GET /cylinders?q=7K-2206", page: []string{"Northbank Gases", "Ferrow Specialty"}, gives: fields{"rows.#": 5}},
		}},
		{name: "S04 one lot, two gases", steps: []step{
			known,
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "CL", lot: " 7k-2206 ", n: 1, filled: "2026-12-01", expires: "2027-12-01"}.json(), want: 409, rule: "stop R2",
				says: []string{"Northbank Gases has delivered this lot as Q4, and CL is filled with CL", "compare the label with the certificate"}},
		}},
		{name: "R2 a second delivery joins its lot", steps: []step{
			known,
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "7k-2206", n: 1, filled: "2026-10-01", expires: "2027-10-01"}.json(), says: []string{"this lot is known"}, gives: fields{"lot.id": 1}},
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "7K 22O6", n: 1, filled: "2026-10-01", expires: "2027-10-01"}.json(), want: 409, rule: "ask R2", says: []string{"has delivered a lot 7K-2206: the same lot?"}},
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "7K 22O6", n: 1, filled: "2026-10-01", expires: "2027-10-01", more: `,"reasons":{"R2":"two labels beside each other: another lot"}`}.json(), gives: fields{"lot.id": 2}},
		}},
		{name: "S10 no certificate", steps: []step{
			{as: auth.Purchaser, do: "GET /", gives: fields{"on_hold": 0}},
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "B-1", n: 6, filled: "2026-12-01", expires: "2027-12-01", place: "QUAR", more: `,"certificate":{}`}.json(), keep: "A",
				says: []string{"Certificate missing", "bump tests on label values, no calibration"}, gives: fields{"cylinders.#": 6, "cylinders.5.place": "QUAR", "cylinders.0.holds.0.reason": "Certificate missing", "lot.holds.#": 1, "lot.certificate": ""}},
			{as: auth.Purchaser, do: "GET /", gives: fields{"on_hold": 1}},
			{as: auth.Technician, do: "GET /cylinders/{A1}", gives: fields{"stage": "received", "readiness.state": "limited", "readiness.purposes": []any{"bump", "line"}}},
			{as: auth.Technician, do: "POST /checkouts/recommend", body: `{"item":"Q4","tests":[{"procedure":"bump-q4","count":14}]}`, says: []string{"bump tests on label values only", "do not calibrate with it"}, gives: fields{"pick.place": "QUAR"}},
			{as: auth.Technician, do: "POST /checkouts/recommend", body: `{"item":"Q4","tests":[{"procedure":"cal-q4","count":1}]}`, gives: fields{"pick": nil, "passed_over_count.R27": 6}},
			{as: auth.Technician, do: "POST /checkouts", body: `{"item":"Q4","cylinder":"{A1}","tests":[{"procedure":"cal-q4","count":1}]}`, want: 409, rule: "stop R27", says: []string{"on hold: Certificate missing (lot B-1)"}},
			{as: auth.Technician, do: "POST /checkouts", body: `{"cylinder":"{A1}","tests":[{"procedure":"bump-q4","count":14}]}`, keep: "out"},
			{as: auth.Viewer, do: "GET /holds?reason=Certificate+missing", keep: "hold", gives: fields{"rows.#": 1}},
			{as: auth.Clerk, do: "POST /holds/{hold}/release", body: `{"evidence":"certificate of lot B-2 came"}`, want: 409, says: []string{"no certificate of this lot is on file", "enter the certificate that names this lot"}},
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "B-1", n: 1, filled: "2026-12-01", expires: "2027-12-01"}.json(), says: []string{"the lot had no certificate; this one is for all of its cylinders"}},
			{as: auth.Clerk, do: "POST /holds/{hold}/release", body: `{"evidence":"certificate C-B-1 names the lot"}`},
			{as: auth.Technician, do: "GET /cylinders/{A2}", gives: fields{"stage": "sealed", "readiness.state": "usable"}},
		}},
	})
}

func TestScenariosOfDates(t *testing.T) {
	chlorine := lot{from: "ferrow", item: "CL", lot: "C-7", n: 2, filled: "2026-08-10", expires: "2027-08-10"}
	play(t, []scenario{
		{name: "S08 twelve months from the 29th of February", now: "2028-03-05T09:00:00Z", steps: []step{
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "L-1", n: 1, filled: "2028-02-27", more: `,"assayed_on":"2028-02-29","valid_months":12`}.json(), gives: fields{"lot.supplier_expires_on": "2029-02-28", "lot.use_by": "2029-02-28"}},
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "CL", lot: "L-2", n: 1, filled: "2027-06-29", more: `,"assayed_on":"2027-06-30","valid_months":8,"reasons":{"R7":"it came late"}`}.json(), gives: fields{"lot.supplier_expires_on": "2028-02-29"}},
		}},
		{name: "S09 the site's cap is shorter", steps: []step{
			{as: auth.Clerk, do: receive, body: chlorine.json(), says: []string{"limited by Cl2: site cap 8 months"}, page: []string{"SUPPLIER EXPIRY 10 Aug 2027", "SITE USE-BY 10 Apr 2027"},
				gives: fields{"lot.supplier_expires_on": "2027-08-10", "lot.use_by": "2027-04-10", "lot.governed_by.term": "component", "lot.governed_by.component": "Cl2", "cylinders.0.expires_on": "2027-04-10"}},
		}},
		{name: "S28 valid all day where the day has 23 hours", now: "2027-03-27T22:30:00Z", steps: []step{ // 23:30 in Amsterdam
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "Q4", lot: "D-1", n: 1, filled: "2026-10-01", expires: "2027-03-28"}.json(), keep: "A", gives: fields{"cylinders.0.days_left": 1}},
			{as: auth.Viewer, do: "GET /cylinders/{A1}", at: "2027-03-28T00:30:00Z", page: []string{"last day"}, gives: fields{"days_left": 0, "on": "2027-03-28"}},
			{as: auth.Technician, do: "POST /checkouts/recommend", at: "2027-03-28T21:30:00Z", body: `{"item":"Q4","tests":[{"procedure":"cal-q4","count":1}]}`, gives: fields{"pick.tag": "{A1}"}},
			{as: auth.Technician, do: "POST /checkouts/recommend", at: "2027-03-28T22:30:00Z", body: `{"item":"Q4","tests":[{"procedure":"cal-q4","count":1}]}`, gives: fields{"pick": nil, "passed_over_count.R26": 1}},
			{as: auth.Viewer, do: "GET /cylinders/{A1}", page: []string{"expired 1 day ago"}, gives: fields{"days_left": -1, "on": "2027-03-29"}},
		}},
		{name: "S91 label and certificate differ", steps: []step{
			{as: auth.Clerk, do: receive, body: twoDates(""), want: 409, rule: "ask R7", says: []string{"10 Jul 2027", "10 Aug 2027", "compare"}},
			{as: auth.Clerk, do: receive, body: twoDates(`,"reasons":{"R7":"the supplier confirms the label"}`), says: []string{"limited by the label"}, gives: fields{"lot.use_by": "2027-07-10", "lot.governed_by.term": "label", "lot.supplier_expires_on": "2027-07-10"}},
		}},
		{name: "S96 no date of the supplier", steps: []step{
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "CL", lot: "N-1", n: 1, filled: "2026-12-01"}.json(), keep: "A", gives: fields{"lot.supplier_expires_on": "", "lot.use_by": "2027-06-01", "lot.calibration_allowed": false, "cylinders.0.calibration_allowed": false}},
			{as: auth.Technician, do: "POST /checkouts/recommend", body: `{"item":"CL","tests":[{"procedure":"bump-cl","count":6}]}`, gives: fields{"pick.tag": "{A1}"}},
			{as: auth.Technician, do: "GET /cylinders/{A1}", says: []string{"no supplier's date"}, gives: fields{"readiness.state": "limited", "readiness.purposes": []any{"bump", "line"}}},
			{as: auth.Technician, do: "POST /checkouts", body: `{"item":"CL","cylinder":"{A1}","tests":[{"procedure":"cal-cl","count":6}]}`, want: 409, rule: "stop R26", says: []string{"there is no supplier's date, so it is for bump tests only"}},
		}},
		{name: "R7b a month alone is its last day", steps: []step{
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "Q4", lot: "O-1", n: 1, filled: "2026-10-01", expires: "04/2027"}.json(), gives: fields{"lot.use_by": "2027-04-30"}},
		}},
		{name: "R5e less life than agreed, and none", steps: []step{
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "P-1", n: 1, filled: "2026-10-01", expires: "2027-08-30"}.json(), gives: fields{"cylinders.0.holds.#": 0}}, // 180 days
			{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "P-2", n: 1, filled: "2026-10-01", expires: "2027-08-29"}.json(), says: []string{"179 days are left by the supplier's date, 29 Aug 2027; 180 are agreed"}, gives: fields{"cylinders.0.holds.0.reason": "Short-dated"}},
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "Q4", lot: "P-3", n: 1, filled: "2026-01-01", expires: "2027-02-28"}.json(), says: []string{"28 Feb 2027, has passed already"}, gives: fields{"cylinders.0.holds.0.reason": "Short-dated"}},
			{as: auth.Purchaser, do: "GET /holds", keep: "hold", gives: fields{"rows.#": 2}},
			{as: auth.Purchaser, do: "POST /holds/{hold}/release", body: `{"evidence":"ten per cent off"}`},
		}},
		{name: "R7 undated gas is held", steps: []step{
			{as: auth.Clerk, do: receive, body: strings.Replace(lot{from: "ferrow", item: "CL", lot: "N-2", n: 1, filled: "X"}.json(), `,"filled_on":"X"`, "", 1), gives: fields{"cylinders.0.holds.0.reason": "Undated", "lot.use_by": ""}},
		}},
	})
}

// twoDates is four-gas whose label ends a month before its certificate.
func twoDates(more string) string {
	return strings.Replace(lot{from: "ferrow", item: "Q4", lot: "E-1", n: 1, filled: "2026-10-01", expires: "2027-08-10", more: more}.json(), `"label_expires_on":"2027-08-10"`, `"label_expires_on":"2027-07-10"`, 1)
}

func TestScenariosOfSlips(t *testing.T) {
	whole := lot{from: "northbank", item: "Q4", lot: "F-1", n: 8, filled: "2026-10-01", expires: "2027-10-01"}
	wrong := func(old, new string) string { return strings.Replace(whole.json(), old, new, 1) }
	psi := func(pressure string) string {
		order := whole
		order.more = `,"pressure":"` + pressure + `"`
		return order.json()
	}
	shells := func(fill string, more string) string {
		return lot{from: "northbank", item: "Q4-R", lot: fill, n: 1, filled: "2026-10-01", expires: "2027-10-01", more: `,"serials":["88-104"]` + more}.json()
	}
	carton := lot{from: "northbank", item: "Q4", lot: "G-1", n: 1, filled: "2026-10-01", expires: "2027-10-01", more: `,"serials":["559123"]`}
	play(t, []scenario{
		{name: "S11 percent for ppm", steps: []step{
			{as: auth.Clerk, do: receive, body: wrong(`"25 ppm"`, `"25 %vol"`), want: 409, rule: "stop R5c", says: []string{"a factor of 10,000", "25 ppm?"}},
		}},
		{name: "S12 more than the whole", steps: []step{
			{as: auth.Clerk, do: receive, body: wrong(`"100 ppm"`, `"100 %vol"`), want: 409, rule: "stop R5d", says: []string{"120.502 %vol together, more than the whole"}},
		}},
		{name: "S13 psi typed as bar", steps: []step{
			{as: auth.Clerk, do: receive, body: psi("1000 bar"), want: 409, rule: "stop R5f", says: []string{"above 75.9 bar possible for this size", "1000 psi = 68.9 bar?"}, page: []string{"Take it as 1000 psi"}},
			{as: auth.Clerk, do: receive, body: psi("1000 psi"), gives: fields{"cylinders.0.pressure_bar": about(68.9)}, keep: "A"},
		}},
		{name: "S14 kPa without loss", steps: []step{
			{as: auth.Clerk, do: receive, body: whole.json(), keep: "A"},
			{as: auth.Technician, do: "POST /cylinders/{A1}/reading", body: `{"pressure":"4200 kPa","gauge":"digital","temperature":"room"}`, page: []string{"42.0 bar"}, gives: fields{"pressure_bar": 42}},
			{as: auth.Viewer, do: "GET /ledger?subject=cylinder:{A1}", says: []string{`"pressure_pa":4200000`}},
		}},
		{name: "S18 a serial that all of a carton share", steps: []step{
			{as: auth.Clerk, do: receive, body: carton.json(), keep: "A"},
			{as: auth.Clerk, do: receive, before: func(h *house) { h.gone("559123") }, body: carton.json(), want: 409, rule: "ask R3", says: []string{"this serial was seen before", "(gone)", "a number shared by the carton? leave it blank"}},
			{as: auth.Clerk, do: receive, body: strings.Replace(carton.json(), `"559123"`, ``, 1), gives: fields{"cylinders.0.serial": ""}},
		}},
		{name: "S18 a shell comes back with a new fill", steps: []step{
			{as: auth.Clerk, do: receive, body: shells("H-1", ""), keep: "A"},
			{as: auth.Clerk, do: receive, body: shells("H-2", ""), want: 409, rule: "stop R3", says: []string{"this shell is still here as {A1}", "book the return of the old fill"}},
			{as: auth.Clerk, do: receive, before: func(h *house) { h.gone("88-104") }, body: shells("H-2", ""), keep: "B", says: []string{"this shell was here before as {A1}: a new fill under a new tag"}, gives: fields{"cylinders.0.serial": "88-104"}},
			{as: auth.Viewer, do: "GET /cylinders?q=88-104&stage=all", says: []string{"{A1}", "{B1}"}, gives: fields{"rows.#": 2}},
		}},
		{name: "S19 a full cabinet", steps: []step{
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "CL", lot: "I-1", n: 10, filled: "2027-01-10", expires: "2027-12-01", place: "CAB-T"}.json()},
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "CL", lot: "I-1", n: 1, filled: "2027-01-10", expires: "2027-12-01", place: "CAB-T"}.json(), want: 409, rule: "ask R42", says: []string{"10 stand there, and 1 more are above its limit of 10", "there is room at"}},
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "CL", lot: "I-1", n: 1, filled: "2027-01-10", expires: "2027-12-01"}.json(), keep: "A"},
			{as: auth.Clerk, do: "POST /cylinders/{A1}/move", body: `{"place":"CAB-T"}`, want: 409, rule: "ask R42", says: []string{"above its limit of 10", "there is room at"}},
			{as: auth.Clerk, do: "POST /cylinders/{A1}/move", body: `{"place":"CAB-T","reasons":{"R42":"until Friday, the supervisor agrees"}}`, gives: fields{"place": "CAB-T"}},
		}},
		{name: "S95 litres of gas for water volume", steps: []step{
			{as: auth.Purchaser, do: "POST /items", want: 409, rule: "stop R3b", says: []string{"gas litres? 116 L at 69 bar is 1.68 L of water volume"},
				body: `{"code":"Q4-116","kind":"gas","blend":"Q4","water_volume":"116 L","fill_pressure":"69 bar","outlet":"C-10"}`},
			{as: auth.Purchaser, do: "POST /items", body: `{"code":"Q4-116","kind":"gas","blend":"Q4","water_volume":"1.68 L","fill_pressure":"69 bar","outlet":"C-10"}`},
		}},
		{name: "R5a the note says more, and less", steps: steps(
			step{as: auth.Clerk, do: receive, body: strings.Replace(whole.json(), `"counted":8`, `"counted":8,"noted":12`, 1), says: []string{"4 short"}, gives: fields{"cylinders.#": 8}},
			step{as: auth.Clerk, do: receive, body: strings.Replace(whole.json(), `"counted":8`, `"counted":14,"noted":12`, 1), says: []string{"2 over"}, gives: fields{"cylinders.#": 14}},
		)},
		{name: "R6 one of the lot is damaged, one leaks", steps: steps(
			step{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "K-1", n: 3, filled: "2026-10-01", expires: "2027-10-01", more: `,"serials":["k-1","k-2","k-3"],"cylinders":[{"serial":"k-2","checks":{"cap":false,"dents":true}},{"serial":"k-3","checks":{"leaking":true}}]`}.json(), keep: "A",
				says: []string{"cap missing or damaged, dents"}, gives: fields{"cylinders.0.holds.#": 0, "cylinders.0.stage": "sealed", "cylinders.1.holds.0.reason": "Damaged/doubtful", "cylinders.1.stage": "received", "cylinders.2.holds.0.reason": "Leak suspected"}},
			step{as: auth.Technician, do: recommend, body: bumps(1, ""), gives: fields{"pick.tag": "{A1}", "alternatives.#": 0}},
		)},
		{name: "R5f a refillable is read and has lost gas", steps: steps(
			step{as: auth.Clerk, do: receive, body: shells("M-1", `,"pressure":"120 bar","pressure_source":"measured","gauge":"digital","temperature":"21 C"`), keep: "A", gives: fields{"cylinders.0.holds.0.reason": "Low on arrival", "cylinders.0.pressure_source": "measured"}},
			step{as: auth.Purchaser, do: "GET /holds", keep: "hold"},
			step{as: auth.Clerk, do: "POST /holds/{hold}/release", body: `{"evidence":"taken as it is"}`, want: 403, says: []string{"purchaser"}},
			step{as: auth.Purchaser, do: "POST /holds/{hold}/release", body: `{"evidence":"credited by the supplier"}`},
			step{as: auth.Viewer, do: "GET /cylinders/{A1}", gives: fields{"stage": "sealed", "readiness.state": "usable"}},
		)},
		{name: "S23 more in the hand than in the book", steps: []step{
			{as: auth.Clerk, do: receive, body: `{"supplier":"northbank","item":"FILTER-H","counted":4,"place":"SHELF-A"}`},
			{as: auth.Technician, do: "POST /issues", body: `{"item":"FILTER-H","counted":6,"place":"SHELF-A"}`},
			{as: auth.Viewer, do: "GET /consumables", gives: fields{"rows.FILTER-H.quantity": 0}},
			{as: auth.Viewer, do: "GET /ledger?subject=item:FILTER-H", says: []string{"issue beyond book"}, gives: fields{"rows.0.quantity": 4, "rows.1.quantity": 2, "rows.2.quantity": -6, "rows.#": 3}},
			{as: auth.Clerk, do: "GET /", says: []string{"FILTER-H"}, gives: fields{"tasks.#": 1}},
		}},
	})
}

// A double tap on a bad network: the same form, or the same idempotency key, at the same moment.
func TestS17TwoTapsAreOneDelivery(t *testing.T) {
	h := newHarrowmere(t, morning)
	order := lot{from: "northbank", item: "Q4", lot: "J-1", n: 8, filled: "2026-10-01", expires: "2027-10-01"}.json()
	programs := atOnce(4, func(int) reply { return h.call(auth.Clerk, "POST", "/receipts", order, "Idempotency-Key", "tap") })
	for _, r := range programs {
		if r.Status != http.StatusCreated || r.Text != programs[0].Text {
			t.Errorf("%d %s", r.Status, r.Text)
		}
	}
	form := formOf(t, strings.Replace(order, "J-1", "J-2", 1))
	form.Set("key", "tap of a person")
	people := atOnce(4, func(int) reply { return h.submit(auth.Clerk, "/receipts", cloned(form)) })
	for _, r := range people {
		if r.Status != http.StatusSeeOther || r.Header.Get("Location") != "/receipts/2" {
			t.Errorf("%d to %q", r.Status, r.Header.Get("Location"))
		}
	}
	if list := h.must(auth.Viewer, "GET", "/cylinders?item=Q4&limit=100", ""); dig(list, "rows.#") != 16.0 {
		t.Errorf("%v cylinders of 16", dig(list, "rows.#"))
	}
	h.verify()
}

package handlers

import (
	"fmt"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

const filing = "POST /lots/1/certificate"

// paper is the certificate of four-gas lot B-1 as it comes later, with what else is said in JSON.
func paper(more string) string {
	return fmt.Sprintf(`{"number":"C-900","expires_on":"2027-12-01","values":[%s]%s}`, certified["Q4"], more)
}

// unpapered is lot B-1 without its certificate, and with what else is said in JSON.
func unpapered(more string) step {
	return step{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "B-1", n: 2, filled: "2026-12-01", expires: "2027-12-01", more: `,"certificate":{}` + more}.json(), keep: "A"}
}

func TestScenariosOfPapers(t *testing.T) {
	undated := step{as: auth.Clerk, do: receive, keep: "A",
		body: strings.Replace(lot{from: "ferrow", item: "CL", lot: "N-2", n: 1, filled: "X"}.json(), `,"filled_on":"X"`, "", 1)}
	play(t, []scenario{
		{name: "S10 the certificate comes, and that of another lot does not help", steps: []step{
			unpapered(""),
			{as: auth.Clerk, do: "GET /cylinders/{A1}", page: []string{"Enter the certificate"}},
			{as: auth.Technician, do: filing, body: paper(`,"lot":"B-1"`), want: 403},
			{as: auth.Clerk, do: filing, body: paper(`,"lot":"B-2","release":true`), want: 409, rule: "stop R5c", says: []string{"the document names lot B-2"}},
			{as: auth.Clerk, do: filing, body: paper(`,"release":true`), want: 422, field: "lot"},
			{as: auth.Clerk, do: "GET /lots/1", gives: fields{"certificates.#": 0, "holds.#": 1, "version": 1}},
			{as: auth.Clerk, do: filing, body: paper(`,"lot":"b-1","release":true`), gives: fields{"holds.#": 0, "certificate": "C-900", "certificates.0.current": true, "certificates.0.values.3.typed": "25 ppm"}},
			{as: auth.Viewer, do: "GET /cylinders/{A1}", says: []string{"certificate C-900 names lot b-1"}, gives: fields{"stage": "sealed", "readiness.state": "usable"}},
		}},
		{name: "R35 who files it need not be who releases", steps: []step{
			unpapered(""),
			{as: auth.Purchaser, do: filing, body: paper(`,"lot":"B-1","release":true`), want: 403},
			{as: auth.Purchaser, do: filing, body: paper(`,"lot":"B-1"`), says: []string{`the hold "Certificate missing" can be released now`}, gives: fields{"holds.#": 1}},
			{as: auth.Viewer, do: "GET /holds", keep: "hold"},
			{as: auth.Clerk, do: "POST /holds/{hold}/release", body: `{"evidence":"certificate C-900 names the lot"}`},
			{as: auth.Viewer, do: "GET /cylinders/{A2}", gives: fields{"stage": "sealed"}},
		}},
		{name: "R5c a doubtful document releases nothing", steps: []step{
			unpapered(""),
			{as: auth.Clerk, do: filing, body: strings.Replace(paper(`,"lot":"B-1","release":true`), `"25 ppm"`, `"30 ppm"`, 1),
				says: []string{"H2S 30 ppm is 5 ppm off", "no hold is released"}, gives: fields{"holds.#": 2, "holds.1.reason": "Doubtful gas"}},
			{as: auth.Clerk, do: filing, body: strings.Replace(paper(`,"lot":"B-1"`), `"100 ppm"`, `"100 %vol"`, 1), want: 409, rule: "stop R5c"},
		}},
		{name: "R7 a newer certificate moves the date, an edit does not", steps: []step{
			{as: auth.Clerk, do: receive, body: strings.Replace(lot{from: "northbank", item: "Q4", lot: "B-1", n: 1, filled: "2026-12-01", expires: "2027-12-01"}.json(), `,"label_expires_on":"2027-12-01"`, "", 1), keep: "A"},
			{as: auth.Clerk, do: filing, body: `{"label_expires_on":"2028-12-01"}`, want: 409, rule: "ask R7"},
			{as: auth.Clerk, do: filing, body: strings.Replace(paper(`,"lot":"B-1"`), "2027-12-01", "2028-03-01", 1), says: []string{"certificate C-900 ends on 1 Mar 2028, the one before it on 1 Dec 2027"},
				gives: fields{"supplier_expires_on": "2028-03-01", "certificates.#": 2, "certificates.1.number": "C-B-1", "certificates.1.current": false}},
			{as: auth.Viewer, do: "GET /cylinders/{A1}", gives: fields{"supplier_expires_on": "2028-03-01"}},
		}},
		{name: "S91 the certificate that comes differs from the label", steps: []step{
			unpapered(""),
			{as: auth.Clerk, do: filing, body: strings.Replace(paper(`,"lot":"B-1"`), "2027-12-01", "2027-11-01", 1), want: 409, rule: "ask R7", says: []string{"compare"}},
			{as: auth.Clerk, do: filing, body: strings.Replace(paper(`,"lot":"B-1","reasons":{"R7":"the supplier confirms the certificate"}`), "2027-12-01", "2027-11-01", 1), gives: fields{"use_by": "2027-11-01", "governed_by.term": "certificate"}},
		}},
		{name: "R7 undated gas gets a date", steps: []step{
			undated,
			{as: auth.Viewer, do: "GET /holds", keep: "hold", gives: fields{"rows.#": 1}},
			{as: auth.Clerk, do: "POST /holds/{hold}/release", body: `{"evidence":"I know it"}`, want: 409, says: []string{"it has no date still", "on the page of its lot"}},
			{as: auth.Clerk, do: filing, body: `{}`, want: 422, field: "number"},
			{as: auth.Clerk, do: filing, body: `{"label_expires_on":"2027-08-10","release":true}`, gives: fields{"holds.#": 0, "use_by": "2027-08-10"}},
			{as: auth.Viewer, do: "GET /cylinders/{A1}", gives: fields{"stage": "sealed", "readiness.state": "usable"}},
		}},
		{name: "a lot that is not there", steps: []step{
			{as: auth.Clerk, do: "GET /lots/7", want: 404},
			{as: auth.Clerk, do: "GET /lots/x", want: 404},
			{as: auth.Clerk, do: "POST /lots/7/certificate", body: paper(""), want: 404},
			{as: auth.Clerk, do: "GET /files/00", want: 404},
		}},
	})
}

func TestScenariosOfOpeningStock(t *testing.T) {
	half := func(item, lotName, more string) string {
		return lot{from: "ferrow", item: item, lot: lotName, n: 1, filled: "2026-12-01", expires: "2027-12-01", more: `,"opened":true` + more}.json()
	}
	cal := func(item, tests string) string { return `{"item":"` + item + `","tests":` + tests + `}` }
	play(t, []scenario{
		{name: "S98 half used, nobody knows since when", steps: []step{
			{as: auth.Clerk, do: receive, body: half("Q4", "H-1", `,"pressure":"41 bar","pressure_source":"measured"`), keep: "A", page: []string{"part used", "41.0 bar"},
				gives: fields{"cylinders.0.stage": "opened", "cylinders.0.opened_on": "", "cylinders.0.pressure_source": "measured", "cylinders.0.holds.#": 0}},
			{as: auth.Technician, do: "GET /cylinders/{A1}", page: []string{"usable with limits", "calibration check"}, says: []string{"nobody knows when it was opened"},
				gives: fields{"stage": "opened", "opened_on": "", "readiness.state": "limited", "readiness.by_purpose.0.state": "usable", "readiness.by_purpose.3.purpose": "calibration", "readiness.by_purpose.3.state": "limited"}},
			{as: auth.Technician, do: recommend, body: cal("Q4", `[{"procedure":"cal-q4","count":2}]`), gives: fields{"pick.tag": "{A1}"}},
			{as: auth.Clerk, do: receive, body: half("CL", "H-2", `,"pressure":"41 bar","pressure_source":"measured"`), keep: "B"},
			{as: auth.Technician, do: "GET /cylinders/{B1}", says: []string{"it is for bump tests only"},
				gives: fields{"readiness.state": "limited", "readiness.purposes": []any{"bump", "line"}, "readiness.by_purpose.3.state": "do_not_use"}},
			{as: auth.Technician, do: checkOut, body: `{"item":"CL","cylinder":"{B1}","tests":[{"procedure":"cal-cl","count":1}]}`, want: 409, rule: "stop R51", says: []string{"it is for bump tests only"}},
			{as: auth.Technician, do: recommend, body: cal("CL", `[{"procedure":"bump-cl","count":1}]`), gives: fields{"pick.tag": "{B1}"}},
		}},
		{name: "R51 without a reading nobody knows what is in it", steps: []step{
			{as: auth.Clerk, do: receive, body: half("Q4", "H-1", `,"opened_on":"2027-02-01"`), keep: "A", gives: fields{"cylinders.0.opened_on": "2027-02-01", "cylinders.0.pressure_bar": nil, "cylinders.0.pressure_source": "unknown"}},
			{as: auth.Technician, do: "GET /cylinders/{A1}", gives: fields{"readiness.state": "do_not_use", "usable_l": nil}, page: []string{"nobody has read it"}},
			{as: auth.Technician, do: "POST /cylinders/{A1}/reading", body: `{"pressure":"41 bar"}`},
			{as: auth.Technician, do: "GET /cylinders/{A1}", gives: fields{"readiness.state": "usable", "pressure_bar": 41}},
		}},
		{name: "R51 a pressure of the fill is not believed", steps: []step{
			{as: auth.Clerk, do: receive, body: half("Q4", "H-1", `,"pressure":"69 bar","pressure_source":"fill"`), want: 422, field: "pressure_source"},
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "Q4", lot: "H-1", n: 1, filled: "2026-12-01", expires: "2027-12-01", more: `,"opened_on":"2027-02-01"`}.json(), want: 422, field: "opened_on"},
			{as: auth.Clerk, do: receive, body: half("Q4", "H-1", `,"opened_on":"2027-03-04"`), want: 422, field: "opened_on"},
		}},
		{name: "S99 a sealed one counts as opened on the first day", steps: []step{
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "CL", lot: "C-9", n: 1, filled: "2027-02-10", expires: "2027-12-01"}.json(), keep: "A"},
			{as: auth.Technician, do: recommend, body: `{"item":"CL","tests":[{"procedure":"bump-cl","count":1}],"from":"2027-03-03","until":"2027-05-17"}`, gives: fields{"pick.tag": "{A1}"}},
			{as: auth.Technician, do: recommend, body: `{"item":"CL","tests":[{"procedure":"bump-cl","count":1}],"from":"2027-03-03","until":"2027-05-18"}`, gives: fields{"pick": nil, "passed_over_count.R26": 1}},
			{as: auth.Technician, do: checkOut, body: `{"item":"CL","cylinder":"{A1}","tests":[{"procedure":"bump-cl","count":1}],"from":"2027-03-03","until":"2027-06-01"}`, want: 409, rule: "stop R26", says: []string{"limited by Cl2: 75 days after opening"}},
		}},
		{name: "R60 zero air is for setting zero", steps: []step{
			{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: "ZA", lot: "Z-9", n: 1, filled: "2026-12-01", expires: "2027-12-01"}.json(), keep: "A"},
			{as: auth.Viewer, do: "GET /cylinders/{A1}", page: []string{"zero setting"}, gives: fields{"readiness.state": "usable", "readiness.by_purpose.#": 1, "readiness.by_purpose.0.purpose": "zero"}},
		}},
	})
}

func TestScenariosOfWhatIsOut(t *testing.T) {
	play(t, []scenario{
		{name: "R14 the page of a cylinder that is out tells what was logged", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"), step{as: auth.Supervisor, do: "POST /instruments", body: `{"code":"D-001"}`},
			step{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{A1}"`), keep: "out"},
			step{as: auth.Technician, do: "GET /cylinders/{A1}", gives: fields{"pressure_bar": 69, "pressure_source": "fill"}},
			step{as: auth.Technician, do: "POST /checkouts/{out}/tests", body: `{"instrument":"D-001","procedure":"bump-q4","result":"pass","attempts":60}`},
			step{as: auth.Technician, do: "GET /cylinders/{A1}", page: []string{"computed from logged tests"}, gives: fields{"pressure_bar": about(59.6), "pressure_source": "computed", "usable_l": about(57.7)}},
		)},
		{name: "R16 what was not found is offered last", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-05-14"), brought("B", "Q4", 2, "2026-10-01", "2027-12-01"),
			step{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{B1}","reasons":{"R16":"not found"}`)},
			step{as: auth.Technician, do: recommend, body: bumps(14, ""), gives: fields{"pick.tag": "{B2}", "alternatives.0.tag": "{A1}"}},
			step{as: auth.Technician, do: "GET /cylinders/{A1}", says: []string{"the clerk is looking for it"}},
		)},
	})
}

// What a rule stops for everything is not offered to be taken.
func TestNoButtonTakesWhatIsStopped(t *testing.T) {
	p := newPlayer(newHarrowmere(t, morning), true)
	p.play(brought("A", "Q4", 2, "2026-10-01", "2027-12-01"))
	p.play(step{as: auth.Technician, do: "POST /holds", body: `{"on":{"kind":"cylinder","id":"{A1}"},"reason":"Damaged/doubtful"}`})
	held, good := p.kept["A1"], p.kept["A2"]
	wanted := "/checkouts/new?item=Q4&tests.0.procedure=bump-q4&tests.0.count=1&cylinder="
	if page := p.page(auth.Technician, wanted+held).Text; strings.Contains(page, "Take "+held) || !strings.Contains(page, "This one: "+good) {
		t.Errorf("%s is on hold: %s", held, page)
	}
	if page := p.page(auth.Technician, wanted+good).Text; !strings.Contains(page, "Take "+good) {
		t.Errorf("nothing is against %s: %s", good, page)
	}
	if page := p.page(auth.Technician, "/cylinders/"+held).Text; !strings.Contains(page, "Take another one") {
		t.Errorf("the page of %s: %s", held, page)
	}
}

package handlers

import (
	"testing"

	"spanroom/internal/auth"
)

func TestScenariosOfRegulatorSets(t *testing.T) {
	const r03 = `{"code":"R-03","name":"spare","inlet":"C-10","max_pressure":"1000 psi","mode":"fixed","flow":"0.3 L/min","body":"stainless","place":"BENCH"}`
	const sixOfCL = `{"item":"CL","tests":[{"procedure":"bump-cl","count":6}]}`
	const withR03 = `,"regulator":"R-03","tubing":"T-01","reasons":{"R16":"in my hand"}`
	play(t, []scenario{
		{name: "R53 who has R-03", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"), brought("B", "Q4", 1, "2026-10-01", "2027-12-01"),
			step{as: auth.Supervisor, do: "POST /regulators", body: r03},
			step{as: auth.Viewer, do: "GET /equipment?q=R-03", says: []string{"R-03", "spare", "CGA C-10, 69 bar, 0.3 L/min", "here", "BENCH"}, gives: fields{"rows.#": 1, "rows.0.state": "here", "rows.0.with": ""}},
			step{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{A1}"`+withR03), keep: "out"},
			step{as: auth.Viewer, do: "GET /equipment?q=R-03", says: []string{"out", "technician", "{A1}"}, page: []string{"07:12"},
				gives: fields{"rows.0.cylinder": "{A1}", "rows.0.place": "", "rows.0.state": "out", "rows.0.uses": 1}},
			step{as: auth.Viewer, do: "GET /equipment?q=technician", gives: fields{"rows.#": 2, "rows.1.code": "T-01"}},
			step{as: auth.Clerk, do: "POST /holds", body: `{"on":{"kind":"regulator","id":"R-01"},"reason":"Damaged/doubtful"}`},
			step{as: auth.Clerk, do: recommend, body: bumps(14, ""), says: []string{"R-03 is with technician", "on {A1} since 07:12"}, gives: fields{"pick.tag": "{B1}", "pick.kit.regulator": nil, "pick.kit.tubing": nil}},
			step{as: auth.Clerk, do: checkOut, body: bumps(14, `,"cylinder":"{B1}"`+withR03), keep: "other"},
			step{as: auth.Viewer, do: "GET /checkouts/{other}", says: []string{"it went out on {A1} with technician", "since 07:12", "check that you hold the right one"}},
			step{as: auth.Clerk, do: "POST /checkouts/{other}/return", body: `{"pressure":"68 bar","temperature":"room","place":"CAGE","set_left_on":true,"reasons":{"R32":"purge"}}`, gives: fields{"set_left_on": true}},
			step{as: auth.Viewer, do: "GET /equipment?kind=regulator&q=R-03", says: []string{"left on", "CAGE", "{B1}"}, gives: fields{"rows.0.state": "left on", "rows.0.left_on": true, "rows.0.place": "CAGE", "rows.0.last_gas": []any{"CH4", "O2", "CO", "H2S"}}},
			step{as: auth.Clerk, do: recommend, body: bumps(14, ""), says: []string{"left on {B1}, at CAGE"}, gives: fields{"pick.tag": "{B1}", "pick.kit.regulator": "R-03"}},
		)},
		{name: "S39 S90 the set that is kept for chlorine", steps: steps(
			brought("A", "CL", 1, "2026-10-01", "2027-12-01"), brought("N", "NH", 1, "2026-10-01", "2027-12-01"),
			step{as: auth.Supervisor, do: "POST /procedures", body: `{"code":"bump-nh","purpose":"bump","blend":"NH","flow":"1.0 L/min","duration":"1 min"}`},
			step{as: auth.Supervisor, do: "POST /regulators", body: `{"code":"R-05","inlet":"C-10","max_pressure":"103 bar","mode":"fixed","flow":"1.0 L/min","body":"stainless","place":"BENCH"}`},
			step{as: auth.Technician, do: recommend, body: sixOfCL, says: []string{"CGA C-10, 103 bar, 1 L/min, at CAB-T"}, gives: fields{"pick.kit.regulator": "R-04"}},
			step{as: auth.Technician, do: checkOut, body: `{"item":"NH","tests":[{"procedure":"bump-nh","count":4}],"cylinder":"{N1}","regulator":"R-05"}`, keep: "out"},
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"66 bar","temperature":"room","reasons":{"R32":"purge"}}`},
			step{as: auth.Technician, do: checkOut, body: sixOfCL[:len(sixOfCL)-1] + `,"cylinder":"{A1}","regulator":"R-05","reasons":{"R24":"rinsed"}}`, want: 409, rule: "stop R24", says: []string{"fits, but was last used on NH3"}},
			step{as: auth.Clerk, do: "POST /holds", body: `{"on":{"kind":"regulator","id":"R-04"},"reason":"Damaged/doubtful"}`},
			step{as: auth.Technician, do: recommend, body: sixOfCL, says: []string{"R-04 is on hold: Damaged/doubtful"}, gives: fields{"pick.kit.regulator": nil}},
			step{as: auth.Supervisor, at: "2027-03-03T08:00:00Z", do: "POST /regulators/R-05", body: `{"code":"R-05","version":1,"inlet":"C-10","max_pressure":"103 bar","mode":"fixed","flow":"1.0 L/min","body":"stainless","place":"BENCH","note":"it has a new label"}`},
			step{as: auth.Technician, do: checkOut, body: sixOfCL[:len(sixOfCL)-1] + `,"cylinder":"{A1}","regulator":"R-05"}`, want: 409, rule: "stop R24", says: []string{"fits, but was last used on NH3", "then enter it as serviced in the catalogue"}},
			step{as: auth.Supervisor, do: "POST /regulators/R-05", body: `{"code":"R-05","version":2,"inlet":"C-10","max_pressure":"103 bar","mode":"fixed","flow":"1.0 L/min","body":"stainless","place":"BENCH","serviced":true,"note":"released by procedure 7"}`},
			step{as: auth.Viewer, do: "GET /regulators/R-05", page: []string{"Last gas, check-outs counted: not known. Not used since 3 Mar 2027 09:00."}, gives: fields{"version": 3, "serviced_at": "2027-03-03T08:00:00.000Z", "serviced": nil}},
			step{as: auth.Technician, do: recommend, body: sixOfCL, gives: fields{"pick.kit.regulator": "R-05"}},
		)},
	})
}

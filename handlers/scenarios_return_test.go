package handlers

import (
	"testing"

	"spanroom/internal/auth"
)

func TestScenariosOfReturns(t *testing.T) {
	take := func(keep string) step {
		return step{as: auth.Technician, do: checkOut, body: bumps(22, `,"cylinder":"{A1}"`), keep: keep}
	}
	logged := `,"tests":[{"instrument":"D-001","procedure":"bump-q4","result":"pass","attempts":22}]`
	play(t, []scenario{
		{name: "S45 cold out, warm in", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"), opened("{A1}", `"pressure":"37.5 bar","temperature":"3 C","gauge":"digital"`),
			take("out"),
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"40.0 bar","temperature":"21 C","gauge":"digital"}`, gives: fields{"verdict": "unchanged", "expected_l": 0}},
			step{as: auth.Viewer, do: "GET /cylinders/{A1}", gives: fields{"holds.#": 0, "stage": "opened", "pressure_bar": 40}},
		)},
		{name: "R32 what was logged is what left", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"), opened("{A1}", `"pressure":"50 bar","temperature":"room","gauge":"digital"`),
			take("pre"),
			step{as: auth.Technician, do: "POST /checkouts/{pre}/return", body: `{"pressure":"46.4 bar","temperature":"room","gauge":"digital"` + logged + `}`, gives: fields{"verdict": "as_expected", "expected_l": about(3.6), "measured_l": about(3.57)}},
		)},
		{name: "S47 the regulator was left on, then nobody knows", steps: steps(
			brought("A", "Q4", 2, "2026-10-01", "2027-12-01"), // the first loses gas for the first time
			step{as: auth.Technician, do: "POST /cylinders/{A1}/reading", body: `{"pressure":"40.0 bar","temperature":"room","gauge":"digital","reasons":{"R34":"-"}}`},
			step{as: auth.Viewer, do: "GET /holds", keep: "low", gives: fields{"rows.0.reason": "Low on arrival", "rows.0.may_release": []any{"purchaser", "supervisor"}}},
			step{as: auth.Purchaser, do: "POST /holds/{low}/release", body: `{"evidence":"accepted as it is, credit note 12"}`},
			take("out"),
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"30.4 bar","temperature":"room","gauge":"digital"` + logged + `}`, want: 409, rule: "ask R32", says: []string{"3.60 L were logged", "regulator left on"}},
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"30.4 bar","temperature":"room","gauge":"digital"` + logged + `,"reasons":{"R32":"regulator left on"}}`,
				gives: fields{"verdict": "excess", "measured_l": about(9.5), "expected_l": about(3.6)}},
			step{as: auth.Viewer, do: "GET /cylinders/{A1}", gives: fields{"holds.#": 0, "place": "CAGE", "stage": "opened", "opened_on": "2027-03-03"}},
			step{as: auth.Viewer, do: "GET /ledger?subject=cylinder:{A1}", says: []string{"regulator left on"}},
			take("again"),
			step{as: auth.Technician, do: "POST /checkouts/{again}/return", body: `{"pressure":"20.8 bar","temperature":"room","gauge":"digital"` + logged + `,"reasons":{"R32":"unknown"}}`, gives: fields{"verdict": "excess"}},
			step{as: auth.Viewer, do: "GET /cylinders/{A1}", gives: fields{"holds.#": 1, "holds.0.reason": "Leak suspected", "readiness.state": "do_not_use"}, page: []string{"leave first, warn others"}},
		)},
		{name: "R32 more in it than when it went", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"), opened("{A1}", `"pressure":"40 bar","temperature":"room","gauge":"digital"`),
			take("out"),
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"55 bar","temperature":"room","gauge":"digital","reasons":{"R32":"it must be so"}}`, want: 409, rule: "stop R32", says: []string{"40.0 bar then, 55.0 bar now", "check tag, unit and temperature"}},
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"5500 kPa","temperature":"room","gauge":"digital"}`, want: 409, rule: "stop R32"},
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"40.2 bar","temperature":"room","gauge":"digital"}`, gives: fields{"verdict": "unchanged"}},
		)},
		{name: "R32 no gauge was possible", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"),
			take("out"),
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{` + logged[1:] + `}`, gives: fields{"verdict": "as_expected", "measured_l": nil, "expected_l": about(3.6)}},
			step{as: auth.Viewer, do: "GET /cylinders/{A1}", gives: fields{"pressure_source": "computed", "pressure_bar": about(65.4), "stage": "opened"}},
			step{as: auth.Clerk, do: "GET /", says: []string{"read the gauge of {A1}"}, gives: fields{"tasks.0.kind": "read_gauge"}},
		)},
		{name: "R32 spent is not offered again", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"), opened("{A1}", `"pressure":"6 bar","temperature":"room","gauge":"digital"`),
			take("out"),
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"2.0 bar","temperature":"room","gauge":"digital","spent":true` + logged + `}`, gives: fields{"verdict": "as_expected"}},
			step{as: auth.Viewer, do: "GET /cylinders/{A1}", gives: fields{"stage": "spent", "readiness.state": "do_not_use"}},
			step{as: auth.Technician, do: recommend, body: bumps(1, ""), gives: fields{"pick": nil}},
			step{as: auth.Technician, do: checkOut, body: bumps(1, `,"cylinder":"{A1}"`), want: 409, rule: "stop R15"},
		)},
		{name: "R31 tests with gas on hold are recorded and do not count", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"),
			take("out"),
			step{as: auth.Supervisor, do: "POST /holds", body: `{"on":{"kind":"cylinder","id":"{A1}"},"reason":"Doubtful gas"}`},
			step{as: auth.Technician, do: "POST /checkouts/{out}/tests", body: `{"instrument":"D-001","procedure":"bump-q4","result":"pass"}`, says: []string{"test the instrument again with other gas"}},
			step{as: auth.Viewer, do: "GET /checkouts/{out}", gives: fields{"logged.0.valid": false, "logged.0.instrument": "D-001"}, page: []string{"does not count"}},
		)},
		{name: "R30 a colleague joins and cannot bring it back", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"),
			step{as: auth.Clerk, do: checkOut, body: bumps(4, `,"cylinder":"{A1}"`), keep: "out"},
			step{as: auth.Technician, do: "POST /checkouts/{out}/tests", body: `{"instrument":"D-001","procedure":"bump-q4","result":"pass"}`},
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"68.8 bar"}`, want: 403, says: []string{"{A1} is with clerk", "bring it back"}},
			step{as: auth.Clerk, do: "POST /checkouts/{out}/return", body: `{"pressure":"68.8 bar"}`},
			step{as: auth.Technician, do: "POST /checkouts/{out}/tests", body: `{"instrument":"D-002","procedure":"bump-q4","result":"pass"}`, want: 409, says: []string{"came back already"}},
			step{as: auth.Clerk, do: "POST /checkouts/{out}/return", body: `{"pressure":"68.8 bar"}`, want: 409, says: []string{"came back already"}},
		)},
	})
}

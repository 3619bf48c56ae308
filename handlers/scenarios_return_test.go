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
		{name: "S47 gas that nobody logged", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"), opened("{A1}", `"pressure":"50 bar","temperature":"room","gauge":"digital"`),
			take("pre"),
			step{as: auth.Technician, do: "POST /checkouts/{pre}/return", body: `{"pressure":"46.4 bar","temperature":"room","gauge":"digital"` + logged + `}`, gives: fields{"verdict": "as_expected", "expected_l": about(3.6), "measured_l": about(3.57)}},
		)},
		{name: "S47 the regulator was left on, then nobody knows", steps: steps(
			brought("A", "Q4", 2, "2026-10-01", "2027-12-01"), // the first loses gas for the first time
			step{as: auth.Technician, do: "POST /cylinders/{A1}/reading", body: `{"pressure":"40.0 bar","temperature":"room","gauge":"digital","reasons":{"R34":"-"}}`},
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
	})
}

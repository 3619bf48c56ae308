package handlers

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

const (
	recommend = "POST /checkouts/recommend"
	checkOut  = "POST /checkouts"
)

// bumps is an order for a number of bump tests with four-gas, with more of it behind.
func bumps(n int, more string) string {
	return fmt.Sprintf(`{"item":"Q4","tests":[{"procedure":"bump-q4","count":%d}]%s}`, n, more)
}

func calibrations(n int, more string) string {
	return strings.Replace(bumps(n, more), "bump-q4", "cal-q4", 1)
}

// brought receives cylinders from Ferrow, who promises no life, and keeps their tags.
func brought(keep, item string, n int, filled, expires string) step {
	return step{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: item, lot: "L-" + keep, n: n, filled: filled, expires: expires}.json(), keep: keep}
}

// opened takes a cylinder, and brings it back with the pressure that the scenario gives.
func opened(tag, pressure string) []step {
	return []step{
		{as: auth.Technician, do: checkOut, body: `{"purpose":"bump","cylinder":"` + tag + `"}`, keep: "first"},
		{as: auth.Technician, do: "POST /checkouts/{first}/return", body: `{` + pressure + `,"place":"CAGE","reasons":{"R32":"regulator left on"}}`, gives: fields{"verdict": "excess"}},
	}
}

func steps(parts ...any) []step {
	var all []step
	for _, part := range parts {
		switch p := part.(type) {
		case step:
			all = append(all, p)
		case []step:
			all = append(all, p...)
		}
	}
	return all
}

func TestScenariosOfChoosing(t *testing.T) {
	a := steps(brought("A", "Q4", 1, "2026-10-01", "2027-05-14"), opened("{A1}", `"pressure":"40 bar","temperature":"room","gauge":"digital"`))
	play(t, []scenario{
		{name: "S29 the opened one, where a sealed one is only a little earlier", steps: steps(a,
			brought("B", "Q4", 1, "2026-10-01", "2027-04-20"),
			step{as: auth.Technician, do: recommend, body: bumps(14, ""), gives: fields{"pick.tag": "{A1}", "pick.stage": "opened", "alternatives.0.tag": "{B1}"}},
		)},
		{name: "S29 the sealed one, where it expires much sooner", steps: steps(a,
			brought("B", "Q4", 1, "2026-10-01", "2027-04-10"),
			step{as: auth.Technician, do: recommend, body: bumps(14, ""), says: []string{"expires 34 days sooner"}, gives: fields{"pick.tag": "{B1}", "alternatives.0.tag": "{A1}"}},
		)},
		{name: "S31 may run dry", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"), opened("{A1}", `"pressure":"12 bar","temperature":"room","gauge":"dial"`),
			step{as: auth.Technician, do: recommend, body: calibrations(12, ""), says: []string{"it may run dry at instrument 12"}, gives: fields{"need_l": 7.5, "pick.usable_l": about(9.87), "pick.findings.0.severity": "ask"}},
			step{as: auth.Technician, do: checkOut, body: calibrations(12, `,"cylinder":"{A1}","regulator":"R-01"`), want: 409, rule: "ask R20", says: []string{"it may run dry at instrument 12"}},
			step{as: auth.Technician, do: recommend, body: bumps(48, ""), says: []string{"carry a spare"}, gives: fields{"need_l": 7.5, "pick.findings.0.severity": "note"}},
			step{as: auth.Technician, do: checkOut, body: calibrations(12, `,"cylinder":"{A1}","regulator":"R-01","reasons":{"R20":"a spare is in the van"}`), keep: "out"},
			step{as: auth.Viewer, do: "GET /checkouts/{out}", says: []string{"a spare is in the van", "it may run dry at instrument 12"}},
		)},
		{name: "S41 a round past the use-by", steps: steps(
			brought("A", "CL", 1, "2026-07-05", "2027-07-05"), // eight months of the site: 5 March
			step{as: auth.Technician, do: checkOut, body: `{"item":"CL","tests":[{"procedure":"bump-cl","count":6}],"from":"2027-03-04","until":"2027-03-08","cylinder":"{A1}"}`, want: 409, rule: "stop R26", says: []string{"use by 5 Mar 2027", "the last day of use is 8 Mar 2027", "finish by 5 Mar 2027"}},
			step{as: auth.Technician, do: recommend, body: `{"item":"CL","tests":[{"procedure":"bump-cl","count":6}],"from":"2027-03-04","until":"2027-03-08"}`, gives: fields{"pick": nil, "passed_over_count.R26": 1}},
			step{as: auth.Technician, do: checkOut, body: `{"item":"CL","tests":[{"procedure":"bump-cl","count":6}],"from":"2027-03-04","until":"2027-03-05","cylinder":"{A1}"}`},
		)},
		{name: "S99 sealed gas is judged as if opened on the first day", steps: steps(
			brought("A", "CL", 1, "2027-02-20", "2028-02-20"),
			step{as: auth.Technician, do: checkOut, body: `{"item":"CL","tests":[{"procedure":"bump-cl","count":60}],"from":"2027-03-03","until":"2027-05-31","cylinder":"{A1}"}`, want: 409, rule: "stop R26", says: []string{"use by 17 May 2027, limited by Cl2: 75 days after opening"}},
			step{as: auth.Technician, do: checkOut, body: `{"item":"CL","tests":[{"procedure":"bump-cl","count":60}],"from":"2027-03-03","until":"2027-05-18","cylinder":"{A1}"}`, want: 409, rule: "stop R26", says: []string{"17 May 2027"}},
			step{as: auth.Technician, do: checkOut, body: `{"item":"CL","tests":[{"procedure":"bump-cl","count":60}],"from":"2027-03-03","until":"2027-05-17","cylinder":"{A1}"}`},
		)},
		{name: "R26 a supervisor may pass expired gas for bumps where the site allows it", steps: steps(
			brought("A", "Q4", 1, "2026-01-01", "2027-03-04"),
			step{as: auth.Supervisor, do: checkOut, at: "2027-03-05T09:00:00Z", body: bumps(14, `,"cylinder":"{A1}","reasons":{"R26":"only a bump"}`), want: 409, rule: "stop R26"},
			step{as: auth.Supervisor, do: "POST /settings", body: settingsWith(`"bump_override_expired":true`)},
			step{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{A1}","reasons":{"R26":"only a bump"}`), want: 409, rule: "stop R26"},
			step{as: auth.Supervisor, do: checkOut, body: bumps(14, `,"cylinder":"{A1}"`), want: 409, rule: "ask R26"},
			step{as: auth.Supervisor, do: checkOut, body: calibrations(1, `,"cylinder":"{A1}","reasons":{"R26":"-"}`), want: 409, rule: "stop R26"},
			step{as: auth.Supervisor, do: checkOut, body: bumps(14, `,"cylinder":"{A1}","reasons":{"R26":"only a bump"}`)},
		)},
		{name: "R27 a hold on the lot, the item and the regulator", steps: steps(
			brought("A", "Q4", 2, "2026-10-01", "2027-12-01"),
			step{as: auth.Clerk, do: "POST /holds", body: `{"on":{"kind":"regulator","id":"R-01"},"reason":"Damaged/doubtful","text":"gauge sticks"}`},
			step{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{A1}","regulator":"R-01"`), want: 409, rule: "stop R27", says: []string{"the regulator is on hold: Damaged/doubtful"}},
			step{as: auth.Technician, do: recommend, body: bumps(14, ""), gives: fields{"pick.kit.regulator": nil}},
			step{as: auth.Purchaser, do: "POST /holds", body: `{"on":{"kind":"item","id":"Q4"},"reason":"Management"}`},
			step{as: auth.Technician, do: recommend, body: bumps(14, ""), gives: fields{"pick": nil, "passed_over_count.R27": 2}},
			step{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{A1}"`), want: 409, rule: "stop R27", says: []string{"on hold: Management (item Q4)"}},
		)},
		{name: "R20 more tests than gas", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"), opened("{A1}", `"pressure":"12 bar","temperature":"room","gauge":"digital"`),
			brought("B", "Q4", 1, "2026-10-01", "2027-12-01"),
			step{as: auth.Technician, do: checkOut, body: bumps(80, `,"cylinder":"{A1}"`), want: 409, rule: "stop R20", says: []string{"needs 12.30 L", "take a fuller one, or fewer tests"}},
			step{as: auth.Technician, do: recommend, body: bumps(80, ""), gives: fields{"pick.tag": "{B1}", "passed_over_count.R20": 1}},
		)},
		{name: "S57 not found", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-05-14"), brought("B", "Q4", 1, "2026-10-01", "2027-12-01"),
			step{as: auth.Technician, do: recommend, body: bumps(14, ""), gives: fields{"pick.tag": "{A1}"}},
			step{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{B1}"`), want: 409, rule: "ask R16", says: []string{"{A1} at CAGE expires sooner, on 14 May 2027; this one on 1 Dec 2027"}},
			step{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{B1}","reasons":{"R16":"not found"}`), keep: "out"},
			step{as: auth.Clerk, do: "GET /", says: []string{"find {A1}"}, gives: fields{"tasks.#": 1, "tasks.0.kind": "find"}},
		)},
	})
}

func TestScenariosOfFittings(t *testing.T) {
	play(t, []scenario{
		{name: "S40 an outlet that does not fit", steps: steps(
			brought("A", "ZA", 1, "2026-10-01", "2027-12-01"),
			step{as: auth.Technician, do: checkOut, body: `{"item":"ZA","tests":[{"procedure":"zero-za","count":4}],"cylinder":"{A1}","regulator":"R-04","reasons":{"R21":"it will do","R23":"-"}}`, want: 409, rule: "stop R21", says: []string{"CGA 600", "CGA C-10"}},
			step{as: auth.Supervisor, do: checkOut, body: `{"item":"ZA","tests":[{"procedure":"zero-za","count":4}],"cylinder":"{A1}","regulator":"R-04","reasons":{"R21":"as supervisor"}}`, want: 409, rule: "stop R21"},
			step{as: auth.Clerk, do: "POST /regulators", body: `{"code":"R-07","inlet":"CGA 600","max_pressure":"69 bar","mode":"fixed","flow":"0.5 L/min","place":"CAGE"}`},
			step{as: auth.Technician, do: recommend, body: `{"item":"ZA","tests":[{"procedure":"zero-za","count":4}]}`, gives: fields{"pick.kit.regulator": "R-07"}},
			step{as: auth.Technician, do: checkOut, body: `{"item":"ZA","tests":[{"procedure":"zero-za","count":4}],"cylinder":"{A1}","regulator":"R-07"}`},
		)},
		{name: "S92 a rating below the fill", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"),
			step{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{A1}","regulator":"R-06","reasons":{"R22":"it held last time"}`), want: 409, rule: "stop R22", says: []string{"R-06 is rated 34.", "is filled to 69 bar"}},
			step{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{A1}","regulator":"R-01"`)}, // 1000 psi
		)},
	})
}

// Two people tap "take" at one moment: one has it, and the other is told who.
func TestS49TwoTakeOneCylinder(t *testing.T) {
	for _, people := range []bool{false, true} {
		h := newHarrowmere(t, morning)
		tag := dig(h.must(auth.Clerk, "POST", "/receipts", brought("A", "Q4", 1, "2026-10-01", "2027-12-01").body), "cylinders.0.tag").(string)
		takers := []auth.Role{auth.Technician, auth.Clerk, auth.Supervisor}
		order := bumps(14, fmt.Sprintf(`,"cylinder":%q`, tag))
		replies := atOnce(len(takers), func(i int) reply {
			if people {
				return h.submit(takers[i], "/checkouts", formOf(t, order))
			}
			return h.call(takers[i], "POST", "/checkouts", order)
		})
		done, who, winners := http.StatusCreated, "", 0
		if people {
			done = http.StatusSeeOther
		}
		for i, r := range replies {
			if r.Status == done {
				winners, who = winners+1, string(takers[i])
			}
		}
		for _, r := range replies {
			if r.Status == done {
				continue
			}
			if says := tag + " is with " + who; r.Status != http.StatusConflict || !strings.Contains(r.Text, says) || !strings.Contains(r.Text, "since 07:12, from CAGE") {
				t.Errorf("people %v: %d without %q: %s", people, r.Status, says, brieflyTold(r))
			}
		}
		if out := h.must(auth.Viewer, "GET", "/checkouts?open=true", ""); winners != 1 || dig(out, "rows.#") != 1.0 {
			t.Errorf("people %v: %d took it, %v check-outs", people, winners, dig(out, "rows.#"))
		}
		h.verify()
	}
}

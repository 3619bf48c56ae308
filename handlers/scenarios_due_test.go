package handlers

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// monitor gives a monitor its schedule.
func monitor(serial, place, schedule string) step {
	return step{as: auth.Supervisor, do: "POST /instruments", body: fmt.Sprintf(`{"code":%q,"model":"DIFF-4","place":%q,"schedule":[%s]}`, serial, place, schedule)}
}

func TestScenariosOfMonitorsDue(t *testing.T) {
	const bumps, cals = `{"procedure":"bump-q4","every_days":3}`, `{"procedure":"cal-q4","every_days":31}`
	logged := func(serial, procedure, result string) step {
		return step{as: auth.Technician, do: "POST /checkouts/{out}/tests", body: fmt.Sprintf(`{"instrument":%q,"procedure":%q,"result":%q}`, serial, procedure, result)}
	}
	play(t, []scenario{
		{name: "R52 due, overdue, never, and on a day that is past", steps: steps(
			step{as: auth.Technician, do: "GET /due", page: []string{"Monitors stand here once their schedule says"}, gives: fields{"rows.#": 0, "next": ""}},
			monitor("D-001", "BENCH", bumps+","+cals), monitor("D-002", "BENCH", bumps), monitor("D-003", "VAN-1", bumps),
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"),
			step{as: auth.Technician, do: checkOut, body: `{"item":"Q4","purpose":"bump","until":"2027-03-20","cylinder":"{A1}"}`, keep: "out"},
			logged("D-001", "bump-q4", "pass"), logged("D-001", "cal-q4", "pass"), logged("D-002", "bump-q4", "fail"),
			step{as: auth.Technician, do: "GET /due", gives: fields{
				"on": "2027-03-03", "rows.#": 3, "counts.failed": 1, "counts.never": 1, "counts.due": 1, "counts.ok": 1, "counts.overdue": 0, "monitors.failed": 1, "monitors.never": 1, "monitors.due": 1, "monitors.ok": 0,
				"rows.0.instrument": "D-002", "rows.0.state": "failed", "rows.0.last_result": "fail", "rows.0.last_on": "2027-03-03", "rows.0.days": nil,
				"rows.1.instrument": "D-001", "rows.1.due_on": "2027-03-06", "rows.1.days": 3, "rows.1.purpose": "bump", "rows.1.place": "BENCH",
			}, page: []string{"</span> failed 3 Mar 2027", "Failed monitor: tag it and take it out of use now", "never passed", "due in 3 days", "Take for 3 monitors", "sampling not known"}},
			step{at: "2027-03-08T09:00:00Z", as: auth.Viewer, do: "GET /due?state=overdue", gives: fields{"rows.#": 1, "rows.0.instrument": "D-001", "rows.0.days": -2, "counts.overdue": 1}, page: []string{"2 days overdue"}},
			logged("D-001", "bump-q4", "pass"), logged("D-002", "bump-q4", "pass"), logged("D-001", "cal-q4", "fail"),
			step{as: auth.Technician, do: "GET /due?place=BENCH", gives: fields{"rows.#": 3, "rows.0.procedure": "cal-q4", "rows.0.state": "failed", "rows.0.days": 0, "rows.0.last_result": "fail", "rows.0.passed_on": "2027-03-03", "counts.failed": 1, "counts.due": 2}},
			step{as: auth.Viewer, do: "GET /due?on=2027-03-07", gives: fields{"on": "2027-03-07", "rows.#": 3, "rows.1.instrument": "D-001", "rows.1.state": "overdue", "rows.1.days": -1, "rows.0.state": "failed"},
				page: []string{"Monitors due on 7 Mar 2027", "Judged for the end of 7 Mar 2027"}},
			step{as: auth.Viewer, do: "GET /due?on=2027-03-02", gives: fields{"rows.#": 0, "counts.never": 0}},
			step{as: auth.Viewer, do: "GET /due?state=ok", gives: fields{"rows.#": 0}, page: []string{"No monitor is like this"}},
			step{as: auth.Viewer, do: "GET /due?limit=1&place=BENCH", gives: fields{"rows.#": 1, "next": "1~BENCH~2027-03-08~D-001~cal-q4"}, page: []string{"Next rows"}},
			step{as: auth.Viewer, do: "GET /due?limit=1&place=BENCH&after=1~BENCH~2027-03-08~D-001~cal-q4", gives: fields{"rows.0.instrument": "D-001", "rows.0.procedure": "bump-q4"}},
			step{as: auth.Viewer, do: "GET /due?on=31+February&state=soon&after=x", want: 422, says: []string{"soon"}},
			step{as: auth.Technician, do: "GET /", gives: fields{"monitors.failed": 1, "monitors.never": 1, "monitors.due": 1, "monitors.overdue": 0}, page: []string{`<a href="/due?state=failed"><strong>1</strong> monitors failed`, "monitors overdue"}},
			step{as: auth.Clerk, do: "GET /", gives: fields{"monitors": nil}},
		)},
	})
}

func TestScenariosOfReasons(t *testing.T) {
	play(t, []scenario{
		{name: "S80 the reasons of February", now: "2027-02-02T06:12:00Z", steps: steps(
			step{as: auth.Supervisor, do: "GET /reasons", gives: fields{"from": "2027-02-01", "until": "2027-02-28", "rows.#": 0, "asks_per_ten_handouts": nil}, page: []string{"Nobody had to give a reason"}},
			brought("A", "Q4", 1, "2026-10-01", "2027-06-01"), brought("B", "Q4", 2, "2026-10-01", "2027-12-01"),
			step{as: auth.Technician, do: checkOut, body: bumps(1, `,"cylinder":"{B1}","regulator":"R-06","reasons":{"R16":"not found","R22":"it will hold"}`), want: 409, rule: "stop R22"},
			step{as: auth.Technician, do: checkOut, body: bumps(1, `,"cylinder":"{B1}","reasons":{"R16":"not found","R22":"it will hold"}`), keep: "out"},
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"68.8 bar","temperature":"room","gauge":"digital"}`},
			step{as: auth.Clerk, do: "POST /tasks/1/done"}, // it was where it should be
			step{as: auth.Technician, do: checkOut, body: bumps(1, `,"cylinder":"{B2}","reasons":{"R16":"Not found"}`), keep: "second"},
			step{at: "2027-03-01T06:12:00Z", as: auth.Technician, do: "POST /checkouts/{second}/return", body: `{"pressure":"60 bar","temperature":"room","gauge":"digital","reasons":{"R32":"regulator left on"}}`},
			step{as: auth.Viewer, do: "GET /reasons?from=2027-02-01&until=2027-02-28", gives: fields{
				"rows.#": 2, "rows.0.rule": "R16", "rows.0.reason": "Not found", "rows.0.cylinder": "{B2}", "rows.0.act": "check_out", "rows.0.kind": "reason", "rows.1.cylinder": "{B1}",
				"counts_by_rule.R16": 2, "counts_by_rule.R22": nil, "counts_by_reason.0.count": 2, "counts_by_reason.#": 1, "handouts": 2, "asks_per_ten_handouts": 10,
			}, says: []string{"{A1} at CAGE expires sooner"}, page: []string{"From 1 Feb 2027 to 28 Feb 2027", "technician"}},
			step{as: auth.Viewer, do: "GET /reasons?rule=R32", gives: fields{"rows.#": 1, "rows.0.act": "return", "rows.0.reason": "regulator left on", "handouts": 0}},
			step{as: auth.Viewer, do: "GET /reasons?from=2027-03-05&until=2027-03-01", want: 422},
		)},
	})
}

// Who takes gas for what is due finds the monitors on the Take screen already.
func TestTakeForWhatIsDue(t *testing.T) {
	h := newHarrowmere(t, morning)
	h.must(auth.Clerk, "POST", "/receipts", brought("A", "Q4", 1, "2026-10-01", "2027-12-01").body)
	for i := range mostInLink + 3 {
		h.must(auth.Supervisor, "POST", "/instruments", fmt.Sprintf(`{"code":"M-%03d","schedule":[{"procedure":"bump-q4","every_days":3}]}`, i))
	}
	page := h.page(auth.Technician, "/due?limit=5").Text
	_, after, _ := strings.Cut(page, `href="/checkouts/new?`)
	query, _, there := strings.Cut(after, `"`)
	if !there || !strings.Contains(page, "Take for the first 100 of 103 monitors") {
		t.Fatalf("no way to the gas: %s", page)
	}
	take := h.page(auth.Technician, "/checkouts/new?"+strings.ReplaceAll(query, "&amp;", "&"))
	if take.Status != http.StatusOK || !strings.Contains(take.Text, "needs 15.3 L") {
		t.Errorf("%d %s", take.Status, take.Text)
	}
	if strings.Contains(h.page(auth.Technician, "/due?on=2027-03-04").Text, "/checkouts/new?purpose") || strings.Contains(h.page(auth.Viewer, "/due").Text, "/checkouts/new?purpose") {
		t.Error("gas is offered for another day, or to who takes none")
	}
}

// No one regulator serves pumped monitors and those that gas reaches by itself: the gas for each is taken apart.
func TestTakeForWhatIsDueByWayOfSampling(t *testing.T) {
	h := newHarrowmere(t, morning)
	h.must(auth.Supervisor, "POST", "/models", `{"code":"PUMP-1","sampling":"pumped"}`)
	h.must(auth.Supervisor, "POST", "/models", `{"code":"DIFF-1","sampling":"diffusion"}`)
	for serial, model := range map[string]string{"M-001": "DIFF-1", "M-002": "PUMP-1", "M-003": "DIFF-1", "M-004": ""} {
		h.must(auth.Supervisor, "POST", "/instruments", fmt.Sprintf(`{"code":%q,"model":%q,"schedule":[{"procedure":"bump-q4","every_days":3}]}`, serial, model))
	}
	page := h.page(auth.Technician, "/due").Text
	for serials, words := range map[string]string{
		"&amp;instruments.0=M-001&amp;instruments.1=M-003\">": "Take for 2 diffusion monitors",
		"&amp;instruments.0=M-002\">":                         "Take for 1 pumped monitor",
		"&amp;instruments.0=M-004\">":                         "Take for 1 monitor",
	} {
		if !strings.Contains(page, serials+words+" ") {
			t.Errorf("no %s of %s: %s", words, serials, page)
		}
	}
}

// Reasons lead from the front page of the supervisor and from what is on hold.
func TestWaysToTheReasons(t *testing.T) {
	h := newHarrowmere(t, morning)
	for _, tt := range []struct {
		role auth.Role
		path string
		want bool
	}{{auth.Supervisor, "/", true}, {auth.Clerk, "/", false}, {auth.Viewer, "/holds", true}} {
		if got := strings.Contains(h.page(tt.role, tt.path).Text, `href="/reasons"`); got != tt.want {
			t.Errorf("%s for a %s leads there: %v", tt.path, tt.role, got)
		}
	}
}

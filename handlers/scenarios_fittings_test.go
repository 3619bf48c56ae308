package handlers

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// through is an order for some tests with the cylinder {A1} and a set.
func through(item, procedure, regulator, tubing, more string) string {
	if tubing != "" {
		more = fmt.Sprintf(`,"tubing":%q`, tubing) + more
	}
	return fmt.Sprintf(`{"item":%q,"tests":[{"procedure":%q,"count":1}],"cylinder":"{A1}","regulator":%q%s}`, item, procedure, regulator, more)
}

var (
	chlorineIn = brought("A", "CL", 2, "2026-10-01", "2027-12-01")
	zeroAirIn  = brought("A", "ZA", 2, "2026-10-01", "2027-12-01")
)

func TestScenariosOfMaterials(t *testing.T) {
	playAt(t, newMonitored, []scenario{
		{name: "S39 chlorine through brass and PVC", steps: steps(chlorineIn,
			refusedTake(through("CL", "bump-cl", "R-08", "", `,"reasons":{"R24":"-"}`), "stop R24", "the body of regulator R-08 is brass, which is not for Cl2; permitted is stainless", "take a regulator with a body of stainless"),
			refusedTake(through("CL", "bump-cl", "R-04", "T-02", `,"reasons":{"R24":"-"}`), "stop R24", "tubing T-02 is of PVC, which is not for Cl2; permitted is FEP, PFA or PTFE"),
			refusedTake(through("CL", "bump-cl", "R-04", "T-03", `,"reasons":{"R24":"-"}`), "stop R24", "T-03", "fits, but was last used on NH3", "replaced or released by the site's procedure"),
			refusedTake(through("CL", "bump-cl", "R-08", "T-03", ""), "stop R24", "is brass", "was last used on NH3"),
			step{as: auth.Technician, do: recommend, body: forTests("bump", "CL", "C-01 C-02", ""), gives: fields{"pick.kit.regulator": "R-04", "pick.kit.tubing": "T-04", "pick.kit.cap": "CAP-1", "pick.findings.#": 0}},
			taken(through("CL", "bump-cl", "R-04", "T-04", `,"cap":"CAP-1","instruments":["C-01"]`), "out", nil),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", gives: fields{"cap": "CAP-1", "explained.out.findings.#": 0}},
		)},
		{name: "S39 tubing that was replaced", steps: steps(chlorineIn,
			refusedTake(through("CL", "bump-cl", "R-04", "T-03", ""), "stop R24"),
			step{as: auth.Supervisor, do: "POST /tubings/T-03", body: `{"code":"T-03","version":1,"material":"FEP","length":"60 cm","place":"CAB-T","serviced":true,"note":"a new length"}`},
			taken(through("CL", "bump-cl", "R-04", "T-03", ""), "out", nil),
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"pressure":"68 bar","temperature":"room","place":"CAB-T","reasons":{"R32":"purge"}}`},
			brought("N", "NH", 2, "2026-10-01", "2027-12-01"),
			refusedTake(strings.Replace(through("NH", "bump-nh", "R-05", "T-03", ""), "{A1}", "{N1}", 1), "stop R24", "T-03", "fits, but was last used on Cl2"),
			step{as: auth.Supervisor, at: "2027-03-03T09:00:00Z", do: "POST /tubings/T-03", body: `{"code":"T-03","version":2,"material":"FEP","length":"60 cm","place":"CAB-T","serviced":true}`},
			taken(strings.Replace(through("NH", "bump-nh", "R-05", "T-03", ""), "{A1}", "{N1}", 1), "ammonia", nil),
		)},
		{name: "S39 four-gas through PVC and silicone", steps: steps(fourGasIn,
			refusedTake(through("Q4", "bump-q4", "R-01", "T-02", ""), "ask R24", "tubing T-02 is of PVC, which takes up H2S at first: longer exposure"),
			refusedTake(through("Q4", "bump-q4", "R-01", "T-05", `,"reasons":{"R24":"-"}`), "stop R24", "tubing T-05 is of silicone, which is not for H2S; permitted is FEP, PFA or PTFE"),
			refusedTake(through("Q4", "bump-q4", "R-08", "", `,"reasons":{"R24":"-","R23":"-"}`), "stop R24", "is brass, which is not for H2S; permitted is nickel-plated or stainless"),
			taken(through("Q4", "bump-q4", "R-01", "T-02", `,"reasons":{"R24":"a minute more"}`), "out", nil),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", says: []string{"R24", "a minute more"}}, back("out"),
			taken(through("Q4", "bump-q4", "R-02", "T-01", ""), "plated", nil),
		)},
		{name: "R24 one reason for the body and the tubing", steps: steps(fourGasIn,
			refusedTake(through("Q4", "cal-q4", "R-13", "T-02", ""), "ask R24", "the body of regulator R-13 is not entered", "takes up H2S at first"),
			refusedTake(through("Q4", "cal-q4", "R-13", "T-02", `,"reasons":{"R25":"by the maker's sheet"}`), "ask R24"),
			taken(through("Q4", "cal-q4", "R-13", "T-02", `,"reasons":{"R24":"by the maker's sheet"}`), "out", nil), back("out"),
			step{as: auth.Technician, do: checkOut, body: through("Q4", "bump-q4", "R-13", "", ""), keep: "bumped"}, // which only has to arrive
		)},
		{name: "R24 tubing that is too long", steps: steps(chlorineIn,
			refusedTake(through("CL", "cal-cl", "R-04", "T-06", `,"reasons":{"R24":"-"}`), "stop R24", "tubing T-06 is 3 m long, 1 m at most is permitted for Cl2", "a monitor would then read high"),
			refusedTake(through("CL", "bump-cl", "R-04", "T-06", ""), "ask R24", "take tubing of 1 m at most"),
			taken(through("CL", "bump-cl", "R-04", "T-06", `,"reasons":{"R24":"two minutes more"}`), "out", nil),
		)},
		{name: "R24b through the line that is used at work", steps: steps(fourGasIn,
			taken(through("Q4", "line-q4", "R-01", "T-06", ""), "out", nil),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", says: []string{"block its inlet, and the pump alarm must sound", "3 m × 3 s/m = 9 s"}, gives: fields{"explained.out.findings.#": 1, "explained.out.findings.0.rule": "R24b"}},
		)},
		{name: "R25 what is due before the last day", steps: steps(fourGasIn,
			taken(through("Q4", "bump-q4", "R-15", "", ""), "first", nil), back("first"), // until today
			refusedTake(through("Q4", "bump-q4", "R-15", "", `,"until":"2027-03-08"`), "ask R25", "the check of regulator R-15 is due on 5 Mar 2027, the test is planned until 8 Mar 2027"),
			taken(through("Q4", "bump-q4", "R-15", "", `,"until":"2027-03-08","reasons":{"R25":"it is checked on Friday"}`), "second", nil), back("second"),
			refusedTake(through("Q4", "bump-q4", "R-15", "", ""), "ask R25", "regulator R-15 has been used 2 times, its check is due after 2"),
			step{as: auth.Supervisor, at: "2027-03-03T09:00:00Z", do: "POST /regulators/R-15", body: strings.Replace(regulatorOf("R-15", `"inlet":"C-10","mode":"fixed","flow":"0.3 L/min","body":"stainless","due_after_uses":2,"serviced":true`), "{", `{"version":1,`, 1)},
			taken(through("Q4", "bump-q4", "R-15", "", ""), "third", nil), back("third"),
			taken(through("Q4", "bump-q4", "R-01", "T-01", `,"until":"2027-06-30"`), "none", nil), // where the site has set no date
		)},
		{name: "R25 a filter that is due", steps: steps(fourGasIn,
			step{as: auth.Supervisor, do: "POST /instruments/D-002", body: `{"code":"D-002","version":1,"model":"DIFF-4","filter_due_on":"2027-03-02"}`},
			refusedTake(bumping("Q4", "D-001 D-002", ""), "ask R25", "a filter of D-002 is due on 2 Mar 2027"),
			taken(bumping("Q4", "D-001 D-002", `,"reasons":{"R25":"it is changed today"}`), "out", nil),
		)},
	})
}

func TestScenariosOfOutlets(t *testing.T) {
	playAt(t, newMonitored, []scenario{
		{name: "S40 a thread of another standard", steps: steps(zeroAirIn,
			refusedTake(through("ZA", "zero-za", "R-10", "", `,"reasons":{"R21":"it will do"}`), "stop R21", "outlet CGA 600, regulator R-10 takes CGA C-10", "R-07 takes CGA 600 and is at CAB-T"),
			step{as: auth.Supervisor, do: checkOut, body: through("ZA", "zero-za", "R-10", "", `,"reasons":{"R21":"as supervisor"}`), want: 409, rule: "stop R21"},
			step{as: auth.Viewer, do: "GET /check?cylinder={A1}&item=ZA&purpose=zero&regulator=R-10", says: []string{"R-07 takes CGA 600 and is at CAB-T"}, gives: fields{"findings.0.rule": "R21", "findings.0.severity": "stop"}},
			taken(through("ZA", "zero-za", "R-07", "", ""), "out", nil),
		)},
		{name: "R21 an adapter that is catalogued with its regulator", steps: steps(zeroAirIn,
			taken(through("ZA", "zero-za", "R-14", "", `,"reasons":{"R23":"slower, and longer"}`), "out", nil),
		)},
		{name: "S90 the thread fits, the last gas does not", steps: steps(chlorineIn,
			refusedTake(through("CL", "bump-cl", "R-05", "T-04", `,"reasons":{"R24":"-"}`), "stop R24", "R-05", "fits, but was last used on NH3"),
			step{as: auth.Supervisor, do: checkOut, body: through("CL", "bump-cl", "R-05", "T-04", `,"reasons":{"R24":"as supervisor"}`), want: 409, rule: "stop R24"},
			refusedTake(forTests("calibration", "CL", "C-01", `,"cylinder":"{A1}","regulator":"R-05"`), "stop R24"),
		)},
		{name: "S92 the rating and the fill", steps: steps(fourGasIn,
			refusedTake(through("Q4", "bump-q4", "R-06", "", `,"reasons":{"R22":"it held","R24":"-"}`), "stop R22", "regulator R-06 is rated 34.474 bar × 1.01 = 34.819 bar", "is filled to 69 bar"),
			step{as: auth.Supervisor, do: "POST /regulators/R-01", body: `{"code":"R-01","version":1,"inlet":"C-10","max_pressure":"1000 psi","rating_absolute":true,"mode":"fixed","flow":"0.3 L/min","body":"stainless","place":"BENCH"}`},
			refusedTake(through("Q4", "bump-q4", "R-01", "", ""), "stop R22", "in heat, and the rating is an absolute maximum"),
			taken(through("Q4", "bump-q4", "R-02", "", ""), "out", nil),
		)},
	})
}

// Between two outlets the product names no piece in between, whoever asks and however.
func TestS40NoAdapterIsProposed(t *testing.T) {
	h := newMonitored(t, morning)
	tag := dig(h.must(auth.Clerk, "POST", "/receipts", zeroAirIn.body), "cylinders.0.tag").(string)
	order := strings.Replace(through("ZA", "zero-za", "R-10", "", ""), "{A1}", tag, 1)
	for name, r := range map[string]reply{
		"the refusal":         h.call(auth.Supervisor, "POST", "/checkouts", order),
		"its page":            h.submit(auth.Supervisor, "/checkouts", formOf(t, order)),
		"the check":           h.call(auth.Viewer, "GET", "/check?cylinder="+tag+"&purpose=zero&regulator=R-10", ""),
		"the check's page":    h.page(auth.Technician, "/check?cylinder="+tag+"&purpose=zero&regulator=R-10"),
		"what is recommended": h.call(auth.Technician, "POST", "/checkouts/recommend", `{"item":"ZA","tests":[{"procedure":"zero-za","count":4}]}`),
	} {
		if r.Status >= http.StatusInternalServerError || strings.Contains(strings.ToLower(r.Text), "adapter") {
			t.Errorf("%s: %d %s", name, r.Status, brieflyTold(r))
		}
	}
}

func TestScenariosOfFlow(t *testing.T) {
	on := func(purpose, serial, regulator, more string) string {
		return forTests(purpose, "Q4", serial, fmt.Sprintf(`,"cylinder":"{A1}","regulator":%q%s`, regulator, more))
	}
	playAt(t, newMonitored, []scenario{
		{name: "S97 more flow than the pump takes", steps: steps(fourGasIn,
			refusedTake(on("calibration", "P-012", "R-10", `,"reasons":{"R23":"-"}`), "stop R23", "regulator R-10 gives 1 L/min, the pump of PUMP-45 draws 0.45 L/min, and there is no open tee", "a calibration would under-read"),
			refusedTake(on("bump", "P-012", "R-10", ""), "ask R23", "a bump may pass falsely"),
			taken(on("bump", "P-012", "R-10", `,"reasons":{"R23":"the tee is on the hose"}`), "out", nil), back("out"),
			taken(on("calibration", "P-012", "R-11", ""), "tee", nil), back("tee"),
			taken(on("calibration", "P-012", "R-09", ""), "demand", nil),
		)},
		{name: "R23 less flow than the pump takes", steps: steps(fourGasIn,
			refusedTake(on("bump", "P-012", "R-01", `,"reasons":{"R23":"-"}`), "stop R23", "regulator R-01 gives 0.3 L/min, the pump of PUMP-45 draws 0.45 × 1.1 = 0.495 L/min: air is drawn in", "read about 50 % high"),
			step{as: auth.Technician, do: recommend, body: forTests("calibration", "Q4", "P-012", ""), gives: fields{"pick.kit.regulator": "R-09", "pick.findings.#": 0}},
			step{as: auth.Technician, do: recommend, body: forTests("calibration", "Q4", "P-012 D-001", ""), gives: fields{"pick.kit.regulator": nil}}, // no one flow is for both
		)},
		{name: "R23 diffusion", steps: steps(fourGasIn,
			refusedTake(on("bump", "D-001", "R-09", `,"reasons":{"R23":"-"}`), "stop R23", "regulator R-09 gives gas only to a pump, and DIFF-4 has none: no gas reaches the sensor"),
			refusedTake(on("calibration", "D-001", "R-10", `,"reasons":{"R23":"-"}`), "stop R23", "regulator R-10 gives 1 L/min, DIFF-4 takes 0.27 to 0.33 L/min (0.3 ± 10 %)"),
			refusedTake(on("bump", "D-001", "R-10", ""), "ask R23"),
			refusedTake(on("bump", "D-001", "R-01", `,"cap":"CAP-1"`), "ask R23", "CAP-1", "is for CHLOR-1, not for DIFF-4"),
			step{as: auth.Supervisor, do: "POST /settings", body: settingsWith(`"flow_tolerance_pct":5,"pump_margin":1.2`)},
			refusedTake(on("calibration", "D-001", "R-10", ""), "stop R23", "DIFF-4 takes 0.285 to 0.315 L/min (0.3 ± 5 %)"),
			refusedTake(on("calibration", "P-001", "R-01", ""), "stop R23", "0.3 × 1.2 = 0.36 L/min"),
		)},
		{name: "S31 instruments on a gauge that is near its end", steps: steps(
			brought("A", "Q4", 2, "2026-10-01", "2027-12-01"), opened("{A1}", `"pressure":"4.2 bar","temperature":"room","gauge":"dial"`),
			refusedTake(on("calibration", "D-001 D-002 D-003", "R-01", ""), "ask R20", "it may run dry at instrument "),
			taken(on("bump", "D-001 D-002 D-003 D-004 H-030 W-001", "R-01", `,"proves":"low"`), "out", nil),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", says: []string{"carry a spare"}},
		)},
		{name: "S41 S99 chlorine points past the use-by", steps: steps(
			brought("A", "CL", 2, "2026-07-05", "2027-07-05"), // eight months of the site: 5 March
			refusedTake(forTests("bump", "CL", "C-01 C-02", `,"cylinder":"{A1}","regulator":"R-04","from":"2027-03-04","until":"2027-03-08"`), "stop R26", "finish by 5 Mar 2027"),
			step{as: auth.Technician, do: recommend, body: forTests("bump", "CL", "C-01 C-02", `,"from":"2027-03-04","until":"2027-03-05"`), gives: fields{"pick.findings.#": 0, "pick.kit.regulator": "R-04"}},
			brought("B", "CL", 2, "2027-02-20", "2028-02-20"),
			step{as: auth.Technician, do: recommend, body: forTests("bump", "CL", "C-01 C-02", `,"until":"2027-05-18"`), gives: fields{"pick": nil, "passed_over_count.R26": 4}},
			step{as: auth.Technician, do: recommend, body: forTests("bump", "CL", "C-01 C-02", `,"until":"2027-05-17"`), gives: fields{"pick.findings.#": 0, "passed_over_count.R26": 2}},
		)},
	})
}

func TestScenariosOfGoodsInForTheFleet(t *testing.T) {
	playAt(t, newMonitored, []scenario{
		{name: "R5h what suits most of the monitors", steps: steps(
			step{as: auth.Clerk, do: receive, body: analysed("Q4", value("H2S", "23.2 ppm", "0.5 ppm")).body, keep: "A",
				says:  []string{"it may be as ordered, but H2S 23.2 ppm would be refused on ", " set to 25 ppm", "CH4 2.5 %vol (56.8 %LEL) would be refused on 2 monitors set to 50 %LEL", "set those instruments to it where the manual allows, or claim it from the supplier"},
				gives: fields{"fleet.instruments": 14, "fleet.meets": 3, "fleet.unknown": 1, "fleet.refused": 10}},
		)},
		{name: "R5h what suits all that it is for", steps: steps(
			step{as: auth.Clerk, do: receive, body: chlorineIn.body, gives: fields{"fleet.words": "meets the set values of all 2 instruments that measure it", "fleet.instruments": 2, "fleet.meets": 2, "fleet.why.#": 0}},
		)},
	})
}

package handlers

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// forTests is an order of gas for instruments that are named, with more of it behind.
func forTests(purpose, item, serials, more string) string {
	return fmt.Sprintf(`{"item":%q,"purpose":%q,"instruments":["%s"]%s}`, item, purpose, strings.ReplaceAll(serials, " ", `","`), more)
}

// calibrating is that for a calibration with the cylinder {A1} and a set that four-gas can go through.
func calibrating(item, serials, more string) string {
	return forTests("calibration", item, serials, `,"cylinder":"{A1}","regulator":"R-01","tubing":"T-01"`+more)
}

func bumping(item, serials, more string) string {
	return strings.Replace(calibrating(item, serials, more), "calibration", "bump", 1)
}

// analysed brings two cylinders of a lot with the values of its certificate: what is not said of four-gas is as ordered.
func analysed(item, values string) step {
	for component, value := range map[string]string{"CH4": "2.5 %vol", "O2": "18 %vol", "CO": "100 ppm", "H2S": "25 ppm"} {
		if strings.HasPrefix(item, "Q4") && !strings.Contains(values, `"`+component+`"`) {
			values += fmt.Sprintf(`,{"component":%q,"amount":%q}`, component, value)
		}
	}
	certificate := `,"certificate":{"number":"C-9","expires_on":"2027-12-01","values":[` + strings.TrimPrefix(values, ",") + `]},"reasons":{"R5c":"as agreed"}`
	return step{as: auth.Clerk, do: receive, body: lot{from: "ferrow", item: item, lot: "L-9", n: 2, filled: "2026-10-01", expires: "2027-12-01", more: certificate}.json(), keep: "A"}
}

func value(component, amount, uncertainty string) string {
	return fmt.Sprintf(`{"component":%q,"amount":%q,"uncertainty":%q}`, component, amount, uncertainty)
}

// fourGasIn are two cylinders of four-gas, exactly as it is ordered.
var fourGasIn = brought("A", "Q4", 2, "2026-10-01", "2027-12-01")

// back brings a check-out back without a reading.
func back(out string) step {
	return step{as: auth.Technician, do: "POST /checkouts/{" + out + "}/return", body: `{"place":"CAGE"}`}
}

func taken(body, keep string, found fields) step {
	return step{as: auth.Technician, do: checkOut, body: body, keep: keep, gives: found}
}

func refusedTake(body, rule string, says ...string) step {
	return step{as: auth.Technician, do: checkOut, body: body, want: 409, rule: rule, says: says}
}

func TestScenariosOfSetValues(t *testing.T) {
	entering := func(reasons string) string { return `,"set_to_certified":true,"reasons":{` + reasons + `}` }
	playAt(t, newMonitored, []scenario{
		{name: "R29 nothing against it", steps: steps(fourGasIn,
			step{as: auth.Technician, do: recommend, body: forTests("calibration", "Q4", "D-001 D-002", ""), says: []string{"compared with instruments: 2 of DIFF-4"}, page: []string{"nothing against it"}, gives: fields{"pick.findings.#": 0, "findings.#": 0}},
			step{as: auth.Viewer, do: "GET /check?cylinder={A1}&purpose=calibration&instruments=D-001,D-002", page: []string{"nothing against it"}, gives: fields{"findings.#": 0}},
			taken(calibrating("Q4", "D-001 D-002", ""), "out", nil),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", gives: fields{"explained.out.findings.#": 0}},
		)},
		{name: "S32 two newer ones have another basis", steps: steps(fourGasIn,
			refusedTake(calibrating("Q4", "D-043 D-044", ""), "stop R19", "CH4 2.5 %vol is 56.8 %LEL (100 %LEL is 4.4 %vol): 56.8 %LEL vs 50 (+13.6 %)", "it would then read about 12 % low", "take a gas of 2.2 %vol CH4, or enter 56.8 %LEL in the instrument"),
			refusedTake(calibrating("Q4", "D-043 D-044", `,"reasons":{"R19":"it is near enough"}`), "stop R19"),
			refusedTake(calibrating("Q4", "D-001 D-043", ""), "stop R19", "D-043 CH4"),
			refusedTake(calibrating("Q4", "D-043", entering("")), "ask R19", "56.8 %LEL is entered in place of 50 %LEL"),
			step{as: auth.Technician, at: "2027-03-04T08:00:00Z", do: checkOut, body: calibrating("Q4", "D-043", entering(`"R19":"entered by the technician"`)), keep: "out"},
			step{as: auth.Viewer, do: "GET /instruments/D-043", says: []string{"56.8 %LEL"}, gives: fields{"set_values.#": 1, "set_values.0.component": "CH4", "set_values.0.set_value": "56.8 %LEL", "changed_on": "2027-03-04", "version": 2}},
			step{as: auth.Viewer, do: "GET /instruments/D-044", gives: fields{"set_values": nil, "version": 1}},
			back("out"),
			refusedTake(calibrating("Q4", "D-043", ""), "ask R28", "screens show CH4 56.8 %LEL, CO 100 ppm, H2S 25 ppm?"),
			taken(calibrating("Q4", "D-043", `,"reasons":{"R28":"read off the screen"}`), "next", nil),
			step{as: auth.Viewer, do: "GET /instruments/D-043", gives: fields{"set_values_confirmed_on": "2027-03-04", "version": 3}},
		)},
		{name: "S32 the other way is another gas", steps: steps(analysed("Q4-22", `{"component":"CH4","amount":"2.2 %vol"}`),
			step{as: auth.Technician, do: recommend, body: forTests("calibration", "Q4-22", "D-043 D-044", ""), gives: fields{"pick.findings.#": 0}},
			taken(calibrating("Q4-22", "D-043 D-044", ""), "out", nil), back("out"),
			refusedTake(calibrating("Q4-22", "D-001 D-043", ""), "stop R19", "CH4 2.2 %vol is 44 %LEL (100 %LEL is 5 %vol): 44 %LEL vs 50 (-12.0 %)", "it would then read about 14 % high"),
		)},
		{name: "S34 nobody knows the factor", steps: steps(fourGasIn,
			refusedTake(calibrating("Q4", "F-001", `,"reasons":{"R19":"one will do"}`), "stop R19", "the factor from CH4 to the nC5H12 scale is not known"),
			taken(bumping("Q4", "F-001", ""), "out", nil),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", says: []string{"the factor from CH4 to the nC5H12 scale is not known: its alarms are not compared with the gas"}, gives: fields{"explained.out.findings.0.severity": "note"}}, back("out"),
			step{as: auth.Supervisor, do: "POST /models/PENT-1", body: pentane(""), want: 409, rule: "ask R19", says: []string{"50 %LEL methane must show 80 on this n-pentane scale"}},
			step{as: auth.Supervisor, do: "POST /models/PENT-1", body: pentane(`,"reasons":{"R19":"manual rev. C, page 41"}`)},
			taken(calibrating("Q4", "F-001", ""), "known", nil),
		)},
		{name: "S35 a lot that is near enough", steps: steps(analysed("Q4", value("H2S", "24.1 ppm", "0.5 ppm")),
			step{as: auth.Technician, do: recommend, body: forTests("calibration", "Q4", "D-001", ""), gives: fields{"pick.findings.#": 0}},
			taken(calibrating("Q4", "D-001", ""), "out", nil),
		)},
		{name: "S35 a lot that is not", steps: steps(analysed("Q4", value("H2S", "23.2 ppm", "0.5 ppm")),
			refusedTake(calibrating("Q4", "D-001 D-002", ""), "stop R17", "H2S 23.2 ppm vs 25 ppm set (-7.2 %), 5 % allowed: it would then read about 8 % high", "enter 23.2 ppm in the instrument, or take another lot"),
			step{as: auth.Technician, do: recommend, body: forTests("calibration", "Q4", "D-001 D-002", ""), says: []string{"2 by R17"}, gives: fields{"pick": nil, "passed_over_count.R17": 2}},
			refusedTake(calibrating("Q4", "H-030", entering(`"R17":"entered"`)), "stop R17", "take another lot, certified near 25 ppm"), // its user cannot
			taken(calibrating("Q4", "D-001 D-002", entering(`"R17":"entered"`)), "out", nil),
			step{as: auth.Viewer, do: "GET /instruments/D-002", gives: fields{"set_values.0.set_value": "23.2 ppm"}}, back("out"),
			refusedTake(calibrating("Q4", "D-001 D-020", ""), "ask R28", "H2S 23.2 ppm?"),             // another lot's value was entered
			taken(calibrating("Q4", "D-001 D-020", `,"reasons":{"R28":"they show it"}`), "next", nil), // D-020 was set to it before
			taken(strings.Replace(bumping("Q4", "D-003", ""), "{A1}", "{A2}", 1), "other", nil),
		)},
		{name: "S94 set to a lot of before", steps: steps(fourGasIn,
			refusedTake(calibrating("Q4", "D-001 D-020", ""), "stop R17", "D-020 H2S", "H2S 25 ppm vs 23.2 ppm set (+7.8 %), 5 % allowed: it would then read about 7 % low"),
			refusedTake(forTests("check", "Q4", "D-020", `,"cylinder":"{A1}"`), "stop R17"),
			taken(bumping("Q4", "D-020", ""), "out", nil),
		)},
		{name: "R17 the instrument's own tolerance and the site's", steps: steps(analysed("Q4", value("H2S", "24.1 ppm", "0.5 ppm")),
			step{as: auth.Technician, do: recommend, body: forTests("calibration", "Q4", "D-001", ""), keep: "P", gives: fields{"pick.findings.#": 0}},
			step{as: auth.Supervisor, do: "POST /settings", body: settingsWith(`"match_tolerance_pct":2`)},
			refusedTake(calibrating("Q4", "D-001", ""), "stop R17", "(-3.6 %), 2.1 % allowed"), // the certificate's uncertainty is more
		)},
	})
}

// What is entered for a gas is entered once, however often the answer gets lost on its way.
func TestS32IsEnteredOnce(t *testing.T) {
	h := newMonitored(t, morning)
	tag := dig(h.must(auth.Clerk, "POST", "/receipts", fourGasIn.body), "cylinders.0.tag").(string)
	order := strings.Replace(calibrating("Q4", "D-043", `,"set_to_certified":true,"reasons":{"R19":"entered"}`), "{A1}", tag, 1)
	for range 2 {
		if r := h.call(auth.Technician, "POST", "/checkouts", order, "Idempotency-Key", "tap-1"); r.Status != http.StatusCreated || dig(r.JSON, "id") != 1.0 {
			t.Errorf("%d %s", r.Status, r.Text)
		}
	}
	if thing := h.must(auth.Viewer, "GET", "/instruments/D-043", ""); dig(thing, "version") != 2.0 {
		t.Errorf("%v", thing)
	}
	entries := h.must(auth.Viewer, "GET", "/ledger?subject=catalogue:instrument:D-043", "")
	if dig(entries, "rows.#") != 2.0 || !strings.Contains(fmt.Sprint(entries), "by:technician") {
		t.Errorf("%v", entries)
	}
	h.verify()
}

// pentane is the model whose display is scaled in pentane, with the factor of its manual.
func pentane(more string) string {
	channel := explosive(`,"lel":"5 %vol","sensor":"catalytic","shown_gas":"nC5H12","factor":1.6,"factor_reading":"multiplier"`)
	return `{"code":"PENT-1","version":1,"sampling":"diffusion","flow":"0.3 L/min",` + strings.Replace(channel, "50 %LEL", "80 %LEL", 1) + more + `}`
}

func TestScenariosOfAlarms(t *testing.T) {
	const low = `,"proves":"low"`
	playAt(t, newMonitored, []scenario{
		{name: "S36 a gas below the high alarm", steps: steps(fourGasIn,
			refusedTake(bumping("Q4", "H-030", `,"reasons":{"R18":"it will do"}`), "stop R18", "H-030 H2S", "H2S 25 ± 0.5 ppm shows at least 24.5 ppm; the high alarm of 30 ppm needs 33 ppm (× 1.1)", "choose to prove the low alarm only, or take a stronger gas"),
			step{as: auth.Technician, do: recommend, body: forTests("bump", "Q4", "H-030", low), gives: fields{"need.proves": "low", "pick.findings.#": 0}},
			taken(bumping("Q4", "H-030", low), "out", nil),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", gives: fields{"explained.out.need.proves": "low", "explained.out.findings.#": 0}},
			taken(strings.Replace(bumping("Q4", "D-001", ""), "{A1}", "{A2}", 1), "all", nil), // whose high alarm is 15 ppm
		)},
		{name: "S36 a gas just above the high alarm", steps: steps(analysed("Q4-30", value("H2S", "30.1 ppm", "0.1 ppm")),
			refusedTake(bumping("Q4-30", "H-030", ""), "stop R18", "H2S 30.1 ± 0.1 ppm shows at least 30 ppm; the high alarm of 30 ppm needs 33 ppm (× 1.1)"),
			taken(bumping("Q4-30", "H-030", low), "out", nil),
		)},
		{name: "S37 nothing to burn it with", steps: steps(analysed("EX", `{"component":"CH4","amount":"2.5 %vol"}`),
			refusedTake(calibrating("EX", "K-001", `,"reasons":{"R19":"-"}`), "stop R19", "CH4 in a gas with 0 %vol O2: a catalytic sensor needs 10 %vol of it to burn"),
			refusedTake(bumping("EX", "K-001", ""), "stop R19", "what it shows proves nothing"),
			taken(calibrating("EX", "I-001", ""), "out", nil), back("out"),
			taken(bumping("EX", "I-001", ""), "bumped", nil),
		)},
		{name: "S93 oxygen that is no alarm", steps: steps(
			step{as: auth.Clerk, do: receive, body: analysed("Q4-O", `{"component":"O2","amount":"19.6 %vol"}`).body, keep: "A", says: []string{"O2 19.6 %vol does not prove the low alarm of 19.5 %vol on "}},
			refusedTake(bumping("Q4-O", "D-001", `,"reasons":{"R18":"-"}`), "stop R18", "D-001 O2", "O2 19.6 %vol is up to 19.6 %vol; the low alarm needs less than 19.5 %vol"),
			taken(calibrating("Q4-O", "D-001", ""), "out", nil), // clean air spans its oxygen
		)},
		{name: "R18 less time than the sensor wants", steps: steps(fourGasIn,
			refusedTake(`{"item":"Q4","cylinder":"{A1}","tests":[{"procedure":"brief-q4","count":1}],"instruments":["D-001"]}`, "ask R18", "20 s of gas is shorter than the response time T90: CH4 25 s, CO 25 s, H2S 30 s"),
			taken(`{"item":"Q4","cylinder":"{A1}","tests":[{"procedure":"brief-q4","count":1}],"instruments":["D-001"],"reasons":{"R18":"the manual of the dock says so"}}`, "out", nil),
		)},
		{name: "R56 monitors that call somebody out", steps: steps(fourGasIn,
			step{as: auth.Technician, do: recommend, body: forTests("bump", "Q4", "D-001 W-001", ""), says: []string{"these report their alarms: the gas raises a real call-out", "tell the control room, before and after"},
				gives: fields{"pick.findings.#": 1, "pick.findings.0.rule": "R56", "pick.findings.0.severity": "note", "pick.findings.0.subject": "W-001"}},
			taken(bumping("Q4", "W-001", ""), "out", nil),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", says: []string{"real call-out"}},
		)},
		{name: "R17b zero in air, and in nitrogen where the manual says so", steps: steps(brought("A", "NI", 2, "2026-10-01", "2027-12-01"),
			refusedTake(forTests("zero", "NI", "D-001", `,"cylinder":"{A1}","reasons":{"R17b":"-"}`), "stop R17b", "this gas is N2 with 0 %vol O2, and the manual does not zero in it", "nitrogen only where the manual says so"),
			taken(forTests("zero", "NI", "I-001", `,"cylinder":"{A1}","regulator":"R-01"`), "out", nil),
			brought("Z", "ZA", 2, "2026-10-01", "2027-12-01"),
			taken(forTests("zero", "ZA", "D-001 I-001", `,"cylinder":"{Z1}","regulator":"R-12"`), "zeroed", nil),
			brought("B", "Q4", 2, "2026-10-01", "2027-12-01"),
			step{as: auth.Technician, do: recommend, body: forTests("calibration", "Q4", "I-001", ""), says: []string{"zero first, in clean air", "or in nitrogen, as the manual allows"}, gives: fields{"steps.#": 2}},
			step{as: auth.Technician, do: recommend, body: forTests("bump", "Q4", "D-001", ""), gives: fields{"steps.#": 0}},
		)},
	})
}

func TestScenariosOfConfirming(t *testing.T) {
	const later = "2028-03-04T08:00:00Z"
	young := step{as: auth.Clerk, do: receive, at: later, body: lot{from: "ferrow", item: "Q4", lot: "L-8", n: 2, filled: "2028-01-10", expires: "2028-12-01"}.json(), keep: "A"}
	confirmed := func(serial, on string, version int) step {
		return step{as: auth.Viewer, do: "GET /instruments/" + serial, gives: fields{"set_values_confirmed_on": on, "version": version}}
	}
	playAt(t, newMonitored, []scenario{
		{name: "R28 nobody compared the screens for a year", steps: steps(young,
			step{as: auth.Technician, do: recommend, body: forTests("calibration", "Q4", "D-001 D-002", ""), says: []string{"screens show CH4 50 %LEL, CO 100 ppm, H2S 25 ppm? (last compared on 3 Mar 2027, more than 12 months ago)"}, gives: fields{"pick.findings.#": 1, "pick.findings.0.severity": "ask"}},
			refusedTake(calibrating("Q4", "D-001 D-002", ""), "ask R28", "D-001, D-002"),
			taken(calibrating("Q4", "D-001 D-002", `,"reasons":{"R28":"compared all of them"}`), "out", nil),
			confirmed("D-001", "2028-03-04", 2), confirmed("D-002", "2028-03-04", 2), confirmed("D-003", "2027-03-03", 1), back("out"),
			step{as: auth.Technician, do: recommend, body: forTests("calibration", "Q4", "D-001 D-002", ""), gives: fields{"pick.findings.#": 0}},
			taken(calibrating("Q4", "D-001 D-002", ""), "next", nil),
		)},
		{name: "R28 a bump asks for no screens, and confirms none", steps: steps(young,
			taken(bumping("Q4", "D-001", `,"reasons":{"R28":"I looked"}`), "out", nil), confirmed("D-001", "2027-03-03", 1),
		)},
		{name: "R28 one reason for two models", steps: steps(young,
			refusedTake(calibrating("Q4", "D-001 W-001", ""), "ask R28", "D-001", "W-001"),
			taken(calibrating("Q4", "D-001 W-001", `,"reasons":{"R28":"compared"}`), "out", nil), confirmed("D-001", "2028-03-04", 2), confirmed("W-001", "2028-03-04", 2),
		)},
		{name: "R28 a sensor was changed", steps: steps(fourGasIn,
			step{as: auth.Supervisor, at: "2027-03-05T08:00:00Z", do: "POST /instruments/D-001", body: `{"code":"D-001","version":1,"model":"DIFF-4","set_values_confirmed_on":"2027-03-03","changed_on":"2027-03-04"}`},
			refusedTake(calibrating("Q4", "D-001 D-002", ""), "ask R28", "not compared with the screens since set values, sensor or firmware changed or a repair on 4 Mar 2027"),
			taken(calibrating("Q4", "D-001 D-002", `,"reasons":{"R28":"compared"}`), "out", nil), confirmed("D-001", "2027-03-05", 3), confirmed("D-002", "2027-03-03", 1),
		)},
		{name: "R28 nobody knows the model", steps: steps(fourGasIn,
			refusedTake(calibrating("Q4", "U-001", ""), "ask R28", "their model is not known: set values and alarms are not compared with the gas"),
			step{as: auth.Technician, do: recommend, body: forTests("bump", "Q4", "U-001", ""), says: []string{"their model is not known"}, gives: fields{"pick.compared": "compared with instruments: 1 of a model that nobody knows", "pick.findings.0.rule": "R28", "pick.findings.0.severity": "note"}},
			taken(calibrating("Q4", "U-001", `,"reasons":{"R28":"screen and label agree","R23":"by its manual"}`), "out", nil),
			step{as: auth.Viewer, do: "GET /instruments/U-001", gives: fields{"version": 1}},
		)},
		{name: "R28 zeroing confirms no set value", steps: steps(
			step{as: auth.Clerk, do: receive, at: later, body: lot{from: "ferrow", item: "ZA", lot: "L-7", n: 1, filled: "2028-01-10", expires: "2028-12-01"}.json(), keep: "A"},
			refusedTake(forTests("zero", "ZA", "D-001 U-001", `,"cylinder":"{A1}"`), "ask R28", "their model is not known"),
			taken(forTests("zero", "ZA", "D-001 U-001", `,"cylinder":"{A1}","reasons":{"R28":"by its manual"}`), "out", nil), confirmed("D-001", "2027-03-03", 1),
		)},
	})
}

func TestScenariosOfWhoIsTested(t *testing.T) {
	const uncompared = "no instruments are named, so set values, alarm points and the flow that they want are not compared"
	counted := func(procedure, more string) string {
		return `{"item":"Q4","tests":[{"procedure":"` + procedure + `","count":1}]` + more + `}`
	}
	playAt(t, newMonitored, []scenario{
		{name: "R28 tests that are only counted", steps: steps(fourGasIn,
			step{as: auth.Technician, do: recommend, body: counted("cal-q4", ""), says: []string{uncompared}, gives: fields{"pick.findings.#": 1, "pick.findings.0.rule": "R28", "pick.findings.0.severity": "note"}},
			step{as: auth.Technician, do: recommend, body: counted("bump-q4", ""), page: []string{"nothing against it"}, gives: fields{"pick.findings.#": 0}},
		)},
		{name: "R17 tests and the instruments that have them", steps: steps(fourGasIn,
			refusedTake(counted("cal-q4", `,"cylinder":"{A1}","instruments":["D-001","D-020"]`), "stop R17", "D-020 H2S"),
			step{as: auth.Technician, do: checkOut, body: counted("cal-q4", `,"cylinder":"{A1}","instruments":["D-001","X-9"]`), want: 422, field: "instruments.1", says: []string{`there is no instrument "X-9"`}},
			taken(counted("cal-q4", `,"cylinder":"{A1}","instruments":["D-001","D-002"]`), "out", nil),
		)},
		{name: "R17 those of a round, as far as they are in service", steps: steps(fourGasIn,
			step{as: auth.Technician, do: recommend, body: `{"round":"weekly"}`, says: []string{"compared with instruments: 4 of DIFF-4"}, gives: fields{"need.tests.#": 2, "pick.findings.#": 0}},
			step{as: auth.Supervisor, do: "POST /instruments/D-003", body: `{"code":"D-003","version":1,"model":"DIFF-4","set_values":[{"component":"CO","set_value":"50 ppm"}]}`},
			refusedTake(`{"round":"weekly","cylinder":"{A1}"}`, "stop R17", "D-003 CO", "CO 100 ppm vs 50 ppm set (+100.0 %)", "read about 50 % low"),
			refusedTake(`{"round":"weekly","purpose":"calibration","cylinder":"{A1}"}`, "stop R17"),
			step{as: auth.Technician, do: recommend, body: `{"round":"weekly","purpose":"bump"}`, gives: fields{"pick.findings.#": 0}},
			step{as: auth.Supervisor, do: "POST /instruments/D-003", body: `{"code":"D-003","version":2,"model":"DIFF-4","out_of_service":true,"set_values":[{"component":"CO","set_value":"50 ppm"}]}`},
			taken(`{"round":"weekly","cylinder":"{A1}"}`, "out", nil),
			refusedTake(forTests("calibration", "Q4", "D-003", `,"cylinder":"{A2}","regulator":"R-01"`), "stop R27", "D-003 is out of service"),
		)},
		{name: "R17 a gas that they do not measure", steps: steps(fourGasIn,
			refusedTake(bumping("Q4", "C-01", ""), "stop R17", "none of the instruments has a channel for this gas"),
			step{as: auth.Technician, do: recommend, body: forTests("bump", "Q4", "D-001 C-01", ""), says: []string{"not covered: needs a gas with Cl2"}},
		)},
	})
}

// What is shown at first counts for nothing: things are judged again as they are when somebody takes the gas (R29).
func TestScenariosOfConfirm(t *testing.T) {
	const tests = "D-001 D-002"
	shown := step{as: auth.Technician, do: recommend, body: forTests("calibration", "Q4", tests, ""), keep: "P", gives: fields{"pick.findings.#": 0}}
	take := func(rule string, says ...string) step {
		return refusedTake(strings.Replace(calibrating("Q4", tests, ""), "{A1}", "{P}", 1), rule, says...)
	}
	playAt(t, newMonitored, []scenario{
		{name: "R29 a hold comes in between", steps: steps(fourGasIn, shown,
			step{as: auth.Clerk, do: "POST /holds", body: `{"on":{"kind":"cylinder","id":"{P}"},"reason":"Doubtful gas"}`}, take("stop R27", "Doubtful gas"),
		)},
		{name: "R29 an instrument is set otherwise in between", steps: steps(fourGasIn, shown,
			step{as: auth.Supervisor, do: "POST /instruments/D-002", body: `{"code":"D-002","version":1,"model":"DIFF-4","set_values":[{"component":"H2S","set_value":"20 ppm"}]}`},
			take("stop R17", "D-002 H2S", "H2S 25 ppm vs 20 ppm set (+25.0 %)", "read about 20 % low"),
		)},
		{name: "R29 the model is corrected in between", steps: steps(fourGasIn, shown,
			step{as: auth.Supervisor, do: "POST /models/DIFF-4", body: `{"code":"DIFF-4","version":2,"sampling":"diffusion","flow":"0.3 L/min",` + fourGas("4.4", "15") + `}`}, take("stop R19", "56.8"),
		)},
		{name: "R29 the regulator is put out of service in between", steps: steps(fourGasIn, shown,
			step{as: auth.Supervisor, do: "POST /regulators/R-01", body: `{"code":"R-01","version":1,"inlet":"C-10","max_pressure":"1000 psi","mode":"fixed","flow":"0.3 L/min","body":"stainless","place":"BENCH","out_of_service":true}`},
			take("stop R27", "regulator R-01 is out of service"),
		)},
		{name: "R29 all at once, worst first", steps: steps(fourGasIn,
			refusedTake(forTests("calibration", "Q4", "D-001 D-020 D-043 U-001 W-001", `,"until":"2027-12-02","cylinder":"{A1}","regulator":"R-08","tubing":"T-02","reasons":{"R24":"-","R28":"-"}`), "stop R26",
				"use by 1 Dec 2027", "D-020 H2S", "D-043 CH4", "their model is not known", "R-08 gives 1 L/min", "the body of regulator R-08 is brass", "tubing T-02 is of PVC", "real call-out"),
		)},
	})
}

func logs(as auth.Role, instrument, procedure string, attempts int) step {
	return step{as: as, do: "POST /checkouts/{out}/tests", body: fmt.Sprintf(`{"instrument":%q,"procedure":%q,"result":"pass","attempts":%d}`, instrument, procedure, attempts)}
}

func TestScenariosOfLogging(t *testing.T) {
	log := func(instrument, procedure string, valid bool) step {
		logged := logs(auth.Technician, instrument, procedure, 1)
		if !valid {
			logged.says, logged.page = []string{"the test is recorded and does not count"}, []string{"</span> does not count"}
		}
		return logged
	}
	playAt(t, newMonitored, []scenario{
		{name: "R31 a calibration with the wrong gas", steps: steps(fourGasIn,
			taken(calibrating("Q4", "D-001 D-002", ""), "out", nil),
			log("D-001", "cal-q4", true), log("D-043", "cal-q4", false), log("D-043", "bump-q4", true), log("H-030", "bump-q4", false), log("C-01", "cal-q4", false), log("U-001", "cal-q4", true),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", gives: fields{
				"logged.#": 6, "logged.0.valid": true, "logged.1.valid": false, "logged.2.valid": true, "logged.3.valid": false, "logged.4.valid": false, "logged.5.valid": true, "progress.used_l": about(3.0)}},
			step{as: auth.Technician, do: "POST /checkouts/{out}/return", body: `{"place":"CAGE","tests":[{"instrument":"D-020","procedure":"cal-q4","result":"pass"},{"instrument":"D-002","procedure":"cal-q4","result":"pass"}]}`, says: []string{"H2S 25 ppm vs 23.2 ppm set"}, page: []string{"does not count"}},
			step{as: auth.Viewer, do: "GET /checkouts/{out}", gives: fields{"logged.#": 8, "logged.6.valid": false, "logged.7.valid": true}},
		)},
		{name: "S48 two of them on one cylinder", steps: steps(fourGasIn,
			step{as: auth.Clerk, do: "POST /cylinders/{A1}/move", body: `{"place":"BENCH"}`},
			taken(calibrating("Q4", "D-001 D-002 D-003 D-004", ""), "out", nil),
			step{as: auth.Supervisor, do: checkOut, body: calibrating("Q4", "D-001", ""), want: 409, says: []string{"{A1} is with technician", "since 07:12, from BENCH", "log tests on their check-out {out}"}},
			logs(auth.Technician, "D-001", "bump-q4", 11), logs(auth.Supervisor, "D-002", "bump-q4", 11), logs(auth.Technician, "D-003", "cal-q4", 5), logs(auth.Supervisor, "D-004", "cal-q4", 4),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", page: []string{"9.00 L used, of it 0.30 L purge"}, gives: fields{"logged.#": 4, "logged.3.valid": true, "progress.used_l": 9, "progress.purge_l": 0.3, "progress.left_l": about(58)}},
		)},
		{name: "R18 a bump that was to prove the low alarms alone", steps: steps(fourGasIn,
			taken(bumping("Q4", "H-030", `,"proves":"low"`), "out", nil), log("H-030", "bump-q4", true),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", gives: fields{"logged.0.valid": true}},
		)},
		{name: "R17 what was entered for this gas counts", steps: steps(fourGasIn,
			taken(calibrating("Q4", "D-043", `,"set_to_certified":true,"reasons":{"R19":"entered"}`), "out", nil), log("D-043", "cal-q4", true), log("D-044", "cal-q4", false),
			step{as: auth.Viewer, do: "GET /checkouts/{out}", gives: fields{"logged.0.valid": true, "logged.1.valid": false}},
		)},
	})
}

package handlers

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// goodOrder is an order that works, with what its fields are. Each field is then filled in wrongly in every way of its kind.
type goodOrder struct {
	as     auth.Role
	do     string
	body   string
	fields map[string]string // the kinds, each with its fields
}

// wrongly is what somebody may send in the place of a field of a kind, as JSON.
var wrongly = map[string][]string{
	"code":     {`"nowhere"`, `"<b>x</b>"`, `5`, `true`, `{"a":"1"}`, `"` + strings.Repeat("x", 5000) + `"`, `"\u0000"`, `"a\u202eb"`},
	"date":     {`"2027-02-30"`, `"2027-13-01"`, `"31 Jun 2027"`, `"05/04/27"`, `"tomorrow"`, `20270303`, `"9999-01-01"`, `"0000-00-00"`},
	"pressure": {`"69"`, `69`, `"69 furlong"`, `"-5 bar"`, `"1e30 bar"`, `"bar"`, `"69 ppm"`, `"1.2.3 bar"`, `"NaN bar"`, `true`},
	"amount":   {`"25"`, `25`, `"25 bar"`, `"-5 ppm"`, `"ppm"`, `"1e30 ppm"`, `"120 %vol"`, `"50 %LEL"`, `false`},
	"level":    {`"25"`, `25`, `"25 bar"`, `"-5 ppm"`, `"ppm"`, `"0 ppm"`, `"120 %vol"`, `"120 %LEL"`, `"%LEL"`, `"-5 %LEL"`, `"1e30 %LEL"`, `false`},
	"flow":     {`"0.3"`, `0.3`, `"0.3 L"`, `"-0.3 L/min"`, `"1e30 L/min"`, `"fast"`},
	"time":     {`"30"`, `30`, `"30 bar"`, `"-30 s"`, `"1e30 s"`},
	"volume":   {`"1.0"`, `1`, `"1 bar"`, `"-1 L"`, `"1e30 L"`},
	"length":   {`"2.5"`, `2.5`, `"2.5 bar"`, `"-2.5 m"`, `"1e30 m"`},
	"warmth":   {`"21"`, `21`, `"21 bar"`, `"-300 C"`, `"1e30 C"`, `"lukewarm"`},
	"gtin":     {`"952123454321"`, `"9521234543214"`, `"952 1234"`, `"x"`, `"９521234543213"`, `true`},
	"price":    {`"78"`, `78`, `"78 bar"`, `"-78 EUR"`, `"1e30 EUR"`, `"78.123456 EUR"`},
	"number":   {`-1`, `"many"`, `1e300`, `true`},
	"count":    {`-1`, `1000000000`, `1.5`, `"many"`, `1e30`, `99999999999999999999`, `true`, `{"a":"1"}`},
	"text":     {`5`, `true`, `{"a":"1"}`, `"` + strings.Repeat("x", 5000) + `"`, `"\u0000"`},
	"name":     {`""`, `"a b<"`, `5`, `"` + strings.Repeat("x", 5000) + `"`, `"\u0000"`},
	"choice":   {`"nothing of the kind"`, `5`, `true`, `"` + strings.Repeat("x", 5000) + `"`},
	"list":     {`5`, `true`, `{"a":"1"}`, `[5]`, `[{"a":"1"}]`},
}

// alsoText are the values that a form cannot tell from good ones: there everything is text.
var alsoText = map[string][]string{"text": {`5`, `true`}, "name": {`5`}, "list": {`5`, `true`, `[5]`}, "gtin": {`true`}}

func TestEveryFieldIsCheckedInEveryOrder(t *testing.T) {
	for _, order := range goodOrders {
		for _, people := range []bool{false, true} {
			t.Run(order.do+map[bool]string{false: ", programs", true: ", people"}[people], func(t *testing.T) {
				t.Parallel()
				p := prepared(t, people)
				for _, kind := range slices.Sorted(maps.Keys(order.fields)) {
					for _, field := range strings.Fields(order.fields[kind]) {
						for _, raw := range wrongly[kind] {
							if people && slices.Contains(alsoText[kind], raw) {
								continue
							}
							p.what = fmt.Sprintf("%s = %.60s", field, raw)
							p.play(step{as: order.as, do: order.do, body: with(p.t, order.body, field, raw), want: http.StatusUnprocessableEntity, field: field})
						}
					}
				}
				p.what = "without a fault"
				p.play(step{as: order.as, do: order.do, body: order.body})
				p.verify()
			})
		}
	}
}

// with puts a value into an order at a dotted name.
func with(t *testing.T, body, name, raw string) string {
	t.Helper()
	var tree any
	if err := json.Unmarshal([]byte(body), &tree); err != nil {
		t.Fatalf("%v: %s", err, body)
	}
	path := strings.Split(name, ".")
	node := tree
	for _, key := range path[:len(path)-1] {
		if list, is := node.([]any); is {
			node = rowOf(list, key)
			continue
		}
		node = node.(map[string]any)[key]
	}
	last := path[len(path)-1]
	if list, is := node.([]any); is {
		list[0] = json.RawMessage(raw)
	} else {
		node.(map[string]any)[last] = json.RawMessage(raw)
	}
	text, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// prepared is Harrowmere with something of everything: sealed, out and held.
func prepared(t *testing.T, people bool) *player {
	t.Helper()
	p := newPlayer(newHarrowmere(t, morning), false)
	for _, st := range []step{
		brought("A", "Q4", 4, "2026-10-01", "2027-12-01"),
		{as: auth.Clerk, do: receive, body: `{"supplier":"northbank","item":"FILTER-H","counted":10,"place":"SHELF-A"}`},
		{as: auth.Clerk, do: receive, body: `{"supplier":"northbank","item":"TUBE","quantity":"25 m","place":"BENCH"}`},
		{as: auth.Supervisor, do: "POST /instruments", body: `{"code":"D-001","model":"DIFF-4"}`},
		{as: auth.Clerk, do: "POST /caps", body: `{"code":"C-1"}`},
		{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{A1}"`), keep: "out"},
		{as: auth.Clerk, do: "POST /holds", body: `{"on":{"kind":"cylinder","id":"{A4}"},"reason":"Damaged/doubtful","text":"dent"}`, keep: "hold"},
	} {
		p.play(st)
	}
	p.people = people
	return p
}

// goodOrders has one for every way to write; those of the catalogue are further below.
var goodOrders = slices.Concat(stockOrders, catalogueOrders)

var stockOrders = []goodOrder{
	{auth.Clerk, receive, lot{from: "northbank", item: "Q4", lot: "Z-1", n: 2, filled: "2026-10-01", expires: "2027-10-01",
		more: `,"noted":2,"assayed_on":"2026-10-02","valid_months":12,"pressure":"69 bar","temperature":"21 C","gauge":"digital","pressure_source":"measured","serials":["z-1","z-2"],"order":"PO-1","reasons":{"R7":"compared"},"certificate":{"kind":"analysis","number":"C-9","issued_on":"2026-10-02","expires_on":"2027-10-01","min_use_pressure":"2 bar","values":[` + certified["Q4"] + `]}`}.json(),
		map[string]string{
			"code": "supplier item place gauge certificate.values.0.component", "date": "filled_on assayed_on label_expires_on certificate.issued_on certificate.expires_on",
			"pressure": "pressure certificate.min_use_pressure", "warmth": "temperature", "amount": "certificate.values.2.amount certificate.values.2.uncertainty",
			"count": "counted noted valid_months", "choice": "pressure_source certificate.kind", "text": "lot order certificate.number reasons.R7", "list": "serials cylinders certificate.values",
		}},
	{auth.Clerk, receive, lot{from: "ferrow", item: "Q4", lot: "Z-2", n: 2, filled: "2026-10-01", expires: "2027-10-01", more: `,"opened":true,"opened_on":"2027-02-01","pressure":"41 bar","cylinders":[{"serial":"z-3","opened":true,"opened_on":"2027-02-02","pressure":"30 bar"}]`}.json(),
		map[string]string{"date": "opened_on cylinders.0.opened_on", "pressure": "pressure cylinders.0.pressure"}},
	{auth.Clerk, "POST /lots/1/certificate", `{"lot":"L-A","kind":"analysis","number":"C-77","issued_on":"2026-10-02","expires_on":"2027-12-01","min_use_pressure":"2 bar","assayed_on":"2026-10-02","release":true,"reasons":{"R7":"compared"},"values":[` + certified["Q4"] + `]}`,
		map[string]string{"date": "issued_on expires_on assayed_on filled_on label_expires_on", "pressure": "min_use_pressure", "amount": "values.2.amount values.2.uncertainty", "code": "values.0.component",
			"choice": "kind", "text": "lot number reasons.R7", "list": "values"}},
	{auth.Clerk, receive, `{"supplier":"northbank","item":"TUBE","quantity":"25 m","place":"BENCH"}`, map[string]string{"length": "quantity", "code": "place"}},
	{auth.Technician, recommend, bumps(14, `,"from":"2027-03-03","until":"2027-03-04","place":"CAGE"`), map[string]string{
		"code": "item place tests.0.procedure round blend", "count": "tests.0.count", "date": "from until", "choice": "purpose", "list": "tests instruments"}},
	{auth.Technician, checkOut, bumps(14, `,"cylinder":"{A2}","regulator":"R-01","tubing":"T-01","from":"2027-03-03","until":"2027-03-04","version":1`), map[string]string{
		"code": "item cylinder regulator tubing place tests.0.procedure round blend", "count": "tests.0.count", "date": "from until", "choice": "purpose", "list": "tests instruments"}},
	{auth.Technician, "POST /checkouts/{out}/tests", `{"instrument":"D-001","procedure":"bump-q4","result":"pass","attempts":1,"as_found":"H2S 24 ppm"}`, map[string]string{
		"code": "instrument procedure", "choice": "result", "count": "attempts"}},
	{auth.Supervisor, "POST /checkouts/{out}/return", `{"pressure":"68 bar","temperature":"21 C","gauge":"digital","place":"CAGE","tests":[{"instrument":"D-001","procedure":"bump-q4","result":"pass"}]}`, map[string]string{
		"pressure": "pressure", "warmth": "temperature", "code": "gauge place tests.0.instrument tests.0.procedure", "choice": "tests.0.result", "list": "tests"}},
	{auth.Technician, "POST /cylinders/{A2}/reading", `{"pressure":"69 bar","temperature":"room","gauge":"digital","version":1}`, map[string]string{"pressure": "pressure", "warmth": "temperature", "code": "gauge"}},
	{auth.Clerk, "POST /cylinders/{A2}/move", `{"place":"BENCH","version":1}`, map[string]string{"code": "place"}},
	{auth.Technician, "POST /holds", `{"on":{"kind":"cylinder","id":"{A2}"},"reason":"Leak suspected","text":"it hisses"}`, map[string]string{"choice": "on.kind reason", "code": "on.id", "text": "text"}},
	{auth.Supervisor, "POST /holds/{hold}/release", `{"evidence":"it is paint"}`, map[string]string{"text": "evidence"}},
	{auth.Technician, "POST /issues", `{"item":"FILTER-H","counted":2,"place":"SHELF-A","to":"D-001"}`, map[string]string{"code": "item place", "count": "counted", "text": "to"}},
	{auth.Technician, "POST /issues", `{"item":"TUBE","quantity":"2 m","place":"BENCH"}`, map[string]string{"length": "quantity"}},
}

var catalogueOrders = []goodOrder{
	{auth.Supervisor, "POST /components", `{"code":"XE","name":"xenon","formula":"Xe","cap_months":12,"fallback_months":6,"opened_days":75,"adsorbs":false,"making_tolerance_pct":5,"note":"rare"}`, map[string]string{
		"name": "code", "text": "name formula note", "count": "cap_months fallback_months opened_days", "number": "making_tolerance_pct"}},
	{auth.Supervisor, "POST /blends", `{"code":"B-2","name":"two gases","balance":"N2","components":[{"component":"CO","amount":"50 ppm","tolerance":"2 ppm"}]}`, map[string]string{
		"name": "code", "text": "name", "code": "balance components.0.component", "amount": "components.0.amount components.0.tolerance", "list": "components"}},
	{auth.Purchaser, "POST /suppliers", `{"code":"third","name":"Third","lead_time_days":28,"lead_time_sd_days":5}`, map[string]string{"name": "code", "text": "name", "count": "lead_time_days lead_time_sd_days"}},
	{auth.Supervisor, "POST /places", `{"code":"SHED","name":"Shed","kind":"shelf","max_cylinders":12,"max_water_volume":"20 L"}`, map[string]string{"name": "code", "text": "name kind", "count": "max_cylinders", "volume": "max_water_volume"}},
	{auth.Purchaser, "POST /items", `{"code":"Q4-S","name":"small","kind":"gas","blend":"Q4","water_volume":"1.0 L","fill_pressure":"35 bar","outlet":"C-10","cutoff":"2 bar","store_cap_months":24,"sources":[{"supplier":"northbank","article":"00418","gtin":"9521234543213","pack":2,"moq":6,"price":"41.00 EUR","minimum_life_days":180}]}`,
		map[string]string{"name": "code", "choice": "kind outlet", "code": "blend sources.0.supplier", "volume": "water_volume", "pressure": "fill_pressure cutoff", "price": "sources.0.price",
			"gtin": "sources.0.gtin", "count": "sources.0.pack sources.0.moq sources.0.minimum_life_days store_cap_months", "list": "sources", "text": "name sources.0.article"}},
	{auth.Clerk, "POST /regulators", `{"code":"R-09","inlet":"C-10","max_pressure":"103 bar","minimum_inlet":"2 bar","mode":"fixed","flow":"0.3 L/min","body":"stainless","last_gas":"NH3","check_due_on":"2027-12-01","due_after_uses":50,"adapter":{"from":"CGA 600","to":"CGA C-10","max_pressure":"69 bar"},"place":"BENCH"}`, map[string]string{
		"name": "code", "choice": "inlet mode adapter.from adapter.to", "pressure": "max_pressure minimum_inlet adapter.max_pressure", "flow": "flow", "code": "last_gas place", "date": "check_due_on", "count": "due_after_uses"}},
	{auth.Clerk, "POST /tubings", `{"code":"T-09","material":"FEP","length":"60 cm","last_gas":"NH3","check_due_on":"2027-12-01","due_after_uses":50,"place":"BENCH"}`, map[string]string{
		"name": "code", "length": "length", "code": "last_gas place", "date": "check_due_on", "text": "material", "count": "due_after_uses"}},
	{auth.Clerk, "POST /caps", `{"code":"C-9","name":"cap","models":["DIFF-4"],"check_due_on":"2027-12-01","due_after_uses":500,"place":"BENCH"}`, map[string]string{
		"name": "code", "text": "name", "code": "place models.0", "date": "check_due_on", "count": "due_after_uses", "list": "models"}},
	{auth.Supervisor, "POST /procedures", `{"code":"bump-2","name":"another","purpose":"bump","blend":"Q4","flow":"0.3 L/min","duration":"30 s","purge":"0.3 L","conditioning":"1 min","step":2,"consumables":[{"item":"FILTER-H","count":0.05}],"manual":"revision 6"}`, map[string]string{
		"name": "code", "choice": "purpose", "code": "blend consumables.0.item", "flow": "flow", "time": "duration conditioning", "volume": "purge", "count": "step",
		"number": "consumables.0.count", "list": "consumables", "text": "manual"}},
	{auth.Supervisor, "POST /models", `{"code":"PUMP-4","sampling":"pumped","flow_min":"0.2 L/min","flow_max":"1 L/min","flow":"0.5 L/min","pump_flow":"0.45 L/min","vent":"open hose","zero_gas":"air",
		"channels":[{"component":"CO","name":"CO","set_value":"100 ppm","low_alarm":"30 ppm","high_alarm":"60 ppm","range":"500 ppm","accuracy":"3 ppm","t90":"15 s","tolerance_pct":4,"sensor":"catalytic",
			"span_by":"cylinder","oxygen_min":"10 %vol","shown_gas":"CH4","lel":"12 %vol","lel_basis":"instrument maker's own","factor":1.2,"factor_reading":"multiplier"}],
		"cross_sensitivities":[{"channel":"CO","gases":["H2S"],"interferes":true}],"reasons":{"R19":"manual, page 12"},"manual":"revision 4"}`, map[string]string{
		"name": "code", "code": "channels.0.component channels.0.shown_gas cross_sensitivities.0.channel", "level": "channels.0.set_value channels.0.low_alarm channels.0.high_alarm channels.0.range",
		"amount": "channels.0.accuracy channels.0.oxygen_min channels.0.lel", "time": "channels.0.t90", "number": "channels.0.tolerance_pct channels.0.factor",
		"choice": "sampling zero_gas channels.0.sensor channels.0.span_by channels.0.factor_reading", "flow": "flow_min flow_max flow pump_flow", "text": "vent channels.0.name channels.0.lel_basis reasons.R19 manual",
		"list": "channels cross_sensitivities cross_sensitivities.0.gases"}},
	{auth.Supervisor, "POST /instruments", `{"code":"D-100","model":"DIFF-4","place":"VAN-1","schedule":[{"procedure":"bump-q4","every_days":3}],"set_values_confirmed_on":"2027-02-01","changed_on":"2027-01-31","filter_due_on":"2027-09-01"}`, map[string]string{
		"name": "code", "code": "model place schedule.0.procedure", "count": "schedule.0.every_days", "date": "set_values_confirmed_on changed_on filter_due_on"}},
	{auth.Supervisor, "POST /rounds", `{"code":"coldholm","place":"VAN-1","instruments":["N-01","N-02"],"tests":[{"procedure":"bump-q4","times_per_week":3}],"sessions_per_week":3}`, map[string]string{
		"name": "code", "code": "place tests.0.procedure", "number": "tests.0.times_per_week sessions_per_week", "list": "tests"}},
	{auth.Supervisor, "POST /settings", strings.Replace(harrowmere[0].body, "}", `,"expiry_valid":"through","reference":"70F_1atm","grace_days":30,"service":0.95,"atmosphere_bar":1.01325,"gauges":[{"code":"dial","limit_bar":2.5},{"code":"digital","limit_bar":0.5}],"late_days":[1,3,7]}`, 1), map[string]string{
		"choice": "zone expiry_valid reference default_gauge", "count": "grace_days", "number": "service atmosphere_bar gauges.0.limit_bar", "text": "site_name", "list": "gauges"}},
}

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
	"flow":     {`"0.3"`, `0.3`, `"0.3 L"`, `"-0.3 L/min"`, `"1e30 L/min"`, `"fast"`},
	"time":     {`"30"`, `30`, `"30 bar"`, `"-30 s"`, `"1e30 s"`},
	"volume":   {`"1.0"`, `1`, `"1 bar"`, `"-1 L"`, `"1e30 L"`},
	"length":   {`"2.5"`, `2.5`, `"2.5 bar"`, `"-2.5 m"`, `"1e30 m"`},
	"warmth":   {`"21"`, `21`, `"21 bar"`, `"-300 C"`, `"1e30 C"`, `"lukewarm"`},
	"price":    {`"78"`, `78`, `"78 bar"`, `"-78 EUR"`, `"1e30 EUR"`, `"78.123456 EUR"`},
	"count":    {`-1`, `1.5`, `"many"`, `1e30`, `99999999999999999999`, `true`, `{"a":"1"}`},
	"text":     {`5`, `true`, `{"a":"1"}`, `"` + strings.Repeat("x", 5000) + `"`, `"\u0000"`},
	"choice":   {`"nothing of the kind"`, `5`, `true`, `"` + strings.Repeat("x", 5000) + `"`},
	"list":     {`5`, `true`, `{"a":"1"}`, `[5]`, `[{"a":"1"}]`},
}

// alsoText are the values that a form cannot tell from good ones: there everything is text.
var alsoText = map[string][]string{"text": {`5`, `true`}, "list": {`5`, `true`, `[5]`}}

func TestEveryFieldIsCheckedInEveryOrder(t *testing.T) {
	for _, order := range goodOrders {
		for _, people := range []bool{false, true} {
			t.Run(order.do+map[bool]string{false: ", programs", true: ", people"}[people], func(t *testing.T) {
				t.Parallel()
				p := prepared(t)
				p.people = people
				for _, kind := range slices.Sorted(maps.Keys(order.fields)) {
					for _, field := range strings.Fields(order.fields[kind]) {
						for _, raw := range wrongly[kind] {
							if people && slices.Contains(alsoText[kind], raw) {
								continue
							}
							p.isRefused(order, field, raw)
						}
					}
				}
				if !people {
					p.isRefused(order, "no_such_field", `"x"`)
				}
				p.play(step{as: order.as, do: order.do, body: order.body})
				p.verify()
			})
		}
	}
}

// isRefused sends an order with one field wrong: it has to be refused for that field, or by a rule where the value can be read.
func (p *player) isRefused(order goodOrder, field, raw string) {
	p.t.Helper()
	defer func(t *testing.T, no int) { p.no = no }(p.t, p.no)
	method, path, _ := strings.Cut(p.fill(order.do), " ")
	body := with(p.t, p.fill(order.body), field, raw)
	what := fmt.Sprintf("%s with %s = %.60s", order.do, field, raw)
	told := p.call(order.as, method, path, body)
	if p.people {
		told = p.inPerson(order.as, method, path, body)
	}
	named := slices.ContainsFunc(rowsOf(told.JSON, "fields"), func(f any) bool {
		name, _ := dig(f, "name").(string)
		return name == field || strings.HasPrefix(name, field+".")
	})
	if told.Status != http.StatusUnprocessableEntity || !named {
		p.t.Errorf("%s: %d, %s", what, told.Status, brieflyTold(told))
		return
	}
	p.play(step{as: order.as, do: order.do, body: with(p.t, order.body, field, raw), want: told.Status})
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
func prepared(t *testing.T) *player {
	t.Helper()
	p := &player{house: newHarrowmere(t, morning), kept: map[string]string{}}
	for _, st := range []step{
		brought("A", "Q4", 4, "2026-10-01", "2027-12-01"),
		{as: auth.Clerk, do: receive, body: `{"supplier":"northbank","item":"FILTER-H","counted":10,"place":"SHELF-A"}`},
		{as: auth.Clerk, do: receive, body: `{"supplier":"northbank","item":"TUBE","quantity":"25 m","place":"BENCH"}`},
		{as: auth.Technician, do: checkOut, body: bumps(14, `,"cylinder":"{A1}"`), keep: "out"},
		{as: auth.Clerk, do: "POST /holds", body: `{"on":{"kind":"cylinder","id":"{A4}"},"reason":"Damaged/doubtful","text":"dent"}`, keep: "hold"},
	} {
		p.play(st)
	}
	return p
}

var goodOrders = []goodOrder{
	{auth.Clerk, receive, lot{from: "northbank", item: "Q4", lot: "Z-1", n: 2, filled: "2026-10-01", expires: "2027-10-01",
		more: `,"noted":2,"assayed_on":"2026-10-02","valid_months":12,"pressure":"69 bar","temperature":"21 C","gauge":"digital","pressure_source":"measured","serials":["z-1","z-2"],"order":"PO-1","reasons":{"R7":"compared"},"certificate":{"kind":"analysis","number":"C-9","issued_on":"2026-10-02","expires_on":"2027-10-01","min_use_pressure":"2 bar","values":[` + certified["Q4"] + `]}`}.json(),
		map[string]string{
			"code": "supplier item place gauge certificate.values.0.component", "date": "filled_on assayed_on label_expires_on certificate.issued_on certificate.expires_on",
			"pressure": "pressure certificate.min_use_pressure", "warmth": "temperature", "amount": "certificate.values.2.amount certificate.values.2.uncertainty",
			"count": "counted noted valid_months", "choice": "pressure_source certificate.kind", "text": "lot order certificate.number reasons.R7", "list": "serials cylinders certificate.values",
		}},
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

package handlers

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http/httptest"
	"net/url"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

type sampleOrder struct {
	Supplier string            `json:"supplier"`
	Counted  *int64            `json:"counted"`
	Life     float64           `json:"life_weeks"`
	Pressure unit.Typed        `json:"pressure"`
	Spent    bool              `json:"spent"`
	Serials  []string          `json:"serials"`
	Rows     []sampleRow       `json:"rows"`
	Nested   *sampleRow        `json:"nested"`
	Reasons  map[string]string `json:"reasons"`
}

type sampleRow struct {
	Amount unit.Typed `json:"amount"`
	Count  int64      `json:"count"`
}

// bound sends a body through bind and gives the order, or the problem's kind and the names of the fields it complains of.
func bound(t *testing.T, kind, body string) (sampleOrder, problem.Kind, []string) {
	t.Helper()
	var order sampleOrder
	var err error
	app := fiber.New()
	app.Post("/", func(c *fiber.Ctx) error { order, err = read[sampleOrder](c); return nil })
	req := httptest.NewRequest("POST", "/", strings.NewReader(body))
	req.Header.Set("Content-Type", kind)
	if _, sendErr := app.Test(req); sendErr != nil {
		t.Fatal(sendErr)
	}
	var names []string
	if p, ok := err.(*problem.Error); ok {
		for _, f := range p.Fields {
			names = append(names, f.Name)
			if f.Text == "" || f.Advice == "" {
				t.Errorf("field %s has no text or no advice", f.Name)
			}
		}
	}
	return order, problem.KindOf(err), names
}

func TestJSONAndFormFillTheSameOrder(t *testing.T) {
	eight := int64(8)
	want := sampleOrder{
		Supplier: "northbank", Counted: &eight, Life: 2.5, Pressure: "69 bar", Spent: true, Serials: []string{"A1", "B2"},
		Rows: []sampleRow{{"25 ppm", 1}, {"2.5 %vol", 0}}, Reasons: map[string]string{"R20": "spare in van"},
	}
	fromJSON, kind, _ := bound(t, "application/json; charset=utf-8", `{"supplier":"northbank","counted":8,"life_weeks":2.5,"pressure":"69 bar","spent":true,
		"serials":["A1","B2"],"rows":[{"amount":"25 ppm","count":1},{"amount":"2.5 %vol"}],"reasons":{"R20":"spare in van"}}`)
	if kind != "" || !reflect.DeepEqual(fromJSON, want) {
		t.Errorf("JSON gives %+v (%s)", fromJSON, kind)
	}
	form := url.Values{"csrf": {"x"}, "key": {"y"}, "supplier": {" northbank "}, "counted": {"8"}, "life_weeks": {"2.5"}, "pressure": {"69"}, "pressure.unit": {"bar"},
		"spent": {"", "on"}, "serials": {"A1,\r\n B2\n"}, "rows.0.amount": {"25"}, "rows.0.amount.unit": {"ppm"}, "rows.0.count": {"1"},
		"rows.1.amount": {"2.5 %vol"}, "rows.1.amount.unit": {"ppm"}, "rows.1.count": {""}, "rows.2.amount": {""}, "rows.2.count": {" "}, "nested.amount": {""}, "reasons.R20": {"spare in van"}}
	fromForm, kind, names := bound(t, "application/x-www-form-urlencoded", form.Encode())
	if kind != "" || !reflect.DeepEqual(fromForm, want) {
		t.Errorf("form gives %+v (%s %v)", fromForm, kind, names)
	}
}

func TestWhatCannotBeBoundIsToldByField(t *testing.T) {
	const jsonKind, formKind = "application/json", "application/x-www-form-urlencoded"
	for _, test := range []struct {
		name, kind, body string
		want             problem.Kind
		fields           []string
	}{
		{"no JSON", jsonKind, `{"supplier":`, problem.Malformed, nil},
		{"two objects", jsonKind, `{} {}`, problem.Malformed, nil},
		{"a list", jsonKind, `[]`, problem.Malformed, nil},
		{"another type", "text/plain", `hello`, problem.Malformed, nil},
		{"all wrong fields at once", jsonKind, `{"supplier":5,"counted":"8","spent":"yes","nope":1,"rows":[{"count":1.5},{"amount":[]}]}`, problem.Invalid,
			[]string{"supplier", "counted", "spent", "rows.0.count", "rows.1.amount", "nope"}},
		{"neither yes nor no", formKind, `spent=perhaps`, problem.Invalid, []string{"spent"}},
		{"huge", jsonKind, `{"counted":99999999999999999999,"life_weeks":1e300}`, problem.Invalid, []string{"counted", "life_weeks"}},
		{"an object for a list", jsonKind, `{"rows":{"0":{}},"serials":"A1","reasons":[]}`, problem.Invalid, []string{"serials", "rows", "reasons"}},
		{"control characters", jsonKind, "{\"supplier\":\"a\\u0000b\"}", problem.Invalid, []string{"supplier"}},
		{"long text", jsonKind, `{"supplier":"` + strings.Repeat("x", longestText+1) + `"}`, problem.Invalid, []string{"supplier"}},
		{"words for a number", formKind, "counted=twelve", problem.Invalid, []string{"counted"}},
		{"an unknown field", formKind, "nope=1", problem.Invalid, []string{"nope"}},
		{"a row far away", formKind, "rows.99999.count=1", problem.Invalid, []string{"rows"}},
		{"too deep", formKind, "a.b.c.d.e.f.g=1", problem.Malformed, nil},
		{"a contradiction", formKind, "rows=1&rows.0.count=2", problem.Malformed, nil},
		{"a list without end", jsonKind, `{"serials":[` + strings.Repeat(`"a",`, mostRows) + `"a"]}`, problem.Invalid, []string{"serials"}},
		{"words without end", formKind, "serials=" + strings.Repeat("a,", mostRows+1), problem.Invalid, []string{"serials"}},
		{"a reason for no rule", jsonKind, "{\"reasons\":{\"R20\\u0000\":\"x\"}}", problem.Invalid, []string{"reasons"}},
		{"not UTF-8", formKind, "supplier=%ff%fe", problem.Invalid, []string{"supplier"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, kind, names := bound(t, test.kind, test.body)
			if kind != test.want {
				t.Fatalf("kind %q, want %q (%v)", kind, test.want, names)
			}
			if !slices.Equal(names, test.fields) {
				t.Errorf("fields %v, want %v", names, test.fields)
			}
		})
	}
}

// A request with a hundred thousand faults gets an answer that a person can read.
func TestFaultsWithoutEnd(t *testing.T) {
	var body strings.Builder
	for i := range 10 * mostWrong {
		fmt.Fprintf(&body, `,"nope%d":1`, i)
	}
	_, kind, names := bound(t, "application/json", "{"+body.String()[1:]+"}")
	if kind != problem.Invalid || len(names) != mostWrong {
		t.Errorf("%s with %d fields", kind, len(names))
	}
}

func TestABareNumberReachesTheParserOfTheUnit(t *testing.T) {
	order, kind, _ := bound(t, "application/json", `{"pressure": 69}`)
	if kind != "" || order.Pressure != "69" {
		t.Fatalf("%q, %s", order.Pressure, kind)
	}
	if _, err := unit.ParsePressure(string(order.Pressure)); problem.KindOf(err) != problem.Invalid {
		t.Errorf("the bare number is taken: %v", err)
	}
}

func FuzzBind(f *testing.F) {
	f.Add("application/json", `{"counted":1,"rows":[{"amount":"25 ppm"}]}`)
	f.Add("application/x-www-form-urlencoded", "rows.0.amount=25&rows.0.amount.unit=ppm")
	f.Fuzz(func(t *testing.T, kind, body string) {
		app := fiber.New()
		app.Post("/", func(c *fiber.Ctx) error {
			order, err := read[sampleOrder](c)
			if err != nil {
				if problem.KindOf(err) == "" {
					t.Errorf("an unknown error: %v", err)
				}
				return nil
			}
			_, err = json.Marshal(order)
			return err
		})
		req := httptest.NewRequest("POST", "/", strings.NewReader(body))
		req.Header["Content-Type"] = []string{strings.Map(func(r rune) rune {
			if r < ' ' || r > '~' {
				return -1
			}
			return r
		}, kind)}
		resp, err := app.Test(req)
		if err != nil {
			return // the request itself could not be written
		}
		if resp.StatusCode >= 500 {
			out, _ := io.ReadAll(resp.Body)
			t.Errorf("status %d: %s", resp.StatusCode, out)
		}
	})
}

func TestTheDecimalCommaOfForms(t *testing.T) {
	const form = "application/x-www-form-urlencoded"
	for text, want := range map[string]float64{"1,15": 1.15, "0,050": 0.05, "12,5": 12.5, "2.5": 2.5} {
		if order, kind, names := bound(t, form, url.Values{"life_weeks": {text}}.Encode()); kind != "" || order.Life != want {
			t.Errorf("%q: %v, %s %v", text, order.Life, kind, names)
		}
	}
	for _, body := range []url.Values{{"life_weeks": {"1,150"}}, {"counted": {"1,000"}}, {"counted": {"1,5"}}, {"life_weeks": {"1.000,5"}}} {
		if order, kind, names := bound(t, form, body.Encode()); kind != problem.Invalid || len(names) != 1 {
			t.Errorf("%v: %+v, %s %v", body, order, kind, names)
		}
	}
	if _, kind, _ := bound(t, "application/json", `{"life_weeks":"1,15"}`); kind != problem.Invalid {
		t.Error("a program's number is text")
	}
}

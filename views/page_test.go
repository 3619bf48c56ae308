package views

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestTypedAndFault(t *testing.T) {
	p := Page{
		Typed:   map[string]string{"lot": "", "place": "CAGE"},
		Problem: &Problem{Fields: []Field{{Name: "place", Text: "there is no such place"}}},
	}
	for name, want := range map[string]string{"lot": "", "place": "CAGE", "item": "Q4"} {
		if got := p.typed(name, code("Q4")); got != want {
			t.Errorf("typed %s = %q, want %q", name, got, want)
		}
	}
	if f := p.fault("place"); f == nil || f.Text != "there is no such place" {
		t.Errorf("fault of place: %v", f)
	}
	if p.fault("lot") != nil || (Page{}).fault("lot") != nil {
		t.Error("a field without a fault has one")
	}
}

func TestTouched(t *testing.T) {
	p := Page{
		Typed:   map[string]string{"lot": "9C", "cylinders.0.pressure.unit": "bar", "cylinders.0.serial": "", "tests.0.result": "pass"},
		Problem: &Problem{Fields: []Field{{Name: "certificate.values.2.uncertainty"}}},
	}
	for prefix, want := range map[string]bool{"cylinders.": false, "tests.": true, "lot": true, "certificate.": true, "pressure": false} {
		if got := p.touched(prefix); got != want {
			t.Errorf("%s: %v", prefix, got)
		}
	}
}

func TestSpokenLabels(t *testing.T) {
	for _, c := range []struct{ name, label, line, want string }{
		{"lot", "Lot", "", "Lot"},
		{"components.0.amount", "Amount", "Component", "Component 1, amount"},
		{"channels.11.t90", "T90", "Channel", "Channel 12, T90"},
		{"instruments.2", "Serial", "Serial", "Serial 3"},
		{"tests.0.count", "How many", "", "Test 1, how many"},
		{"certificate.values.1.amount", "H2S, certified", "", "Certificate, H2S, certified"},
		{"certificate.issued_on", "Issued on", "", "Certificate, issued on"},
		{"values.1.amount", "CO, certified", "", "CO, certified"},
		{"pressure", "", "", ""},
	} {
		if got := spokenLabel(c.name, c.label, c.line); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// The summary stands above the fields and yet calls them as they do.
func TestTheSummaryNamesFieldsByTheirLabels(t *testing.T) {
	wrong := &Problem{Title: "Something is filled in wrongly", Fields: []Field{
		{Name: "components.0.amount", Text: "it has no unit"}, {Name: "components", Text: "there are too few"}, {Name: "gone_field", Text: "it is not known"},
	}}
	page := try(t, `<fieldset id="{{group $ "components" "Components"}}"></fieldset>{{template "field" (field $ "components.0.amount" "label" "Amount" "line" "Component")}}`, Page{Problem: wrong})
	for _, want := range []string{
		`<a href="#f-components-0-amount">Component 1, amount</a>: it has no unit`, `<a href="#f-components">Components</a>: there are too few`, `<li>gone field: it is not known`,
	} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s in %s", want, page)
		}
	}
	if wrong.Fields[0].label != "" {
		t.Error("the caller's own problem was written to")
	}
}

func TestSpoken(t *testing.T) {
	for name, want := range map[string]string{
		"lot": "lot", "label_expires_on": "label expires on", "certificate.values.1.amount": "certificate values 2 amount",
	} {
		if got := (Field{Name: name}).Spoken(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestRows(t *testing.T) {
	p := Page{Typed: map[string]string{"cylinders.0.serial": "", "cylinders.4.serial": "A", "cylinders.x.serial": "", "cylinders.900000.serial": "", "cylindersX.9.serial": ""}}
	if got := len(p.rows("cylinders", 1)); got != 5 {
		t.Errorf("%d rows, want those typed: 5", got)
	}
	if got := len(p.rows("cylinders", 8)); got != 8 {
		t.Errorf("%d rows, want at least 8", got)
	}
	if got := p.rows("values", 0); len(got) != 0 {
		t.Errorf("rows %v, want none", got)
	}
}

func TestHere(t *testing.T) {
	p := Page{Path: "/cylinders", Query: "place=CAGE&after=40"}
	for _, c := range []struct {
		pairs []any
		want  string
	}{
		{nil, "/cylinders?after=40&place=CAGE"},
		{[]any{"after", 80}, "/cylinders?after=80&place=CAGE"},
		{[]any{"after", ""}, "/cylinders?place=CAGE"},
		{[]any{"after", "", "place", nil}, "/cylinders"},
		{[]any{"q", code("a&b=c")}, "/cylinders?after=40&place=CAGE&q=a%26b%3Dc"},
	} {
		if got, err := p.here(c.pairs...); err != nil || got != c.want {
			t.Errorf("here(%v) = %q, %v, want %q", c.pairs, got, err, c.want)
		}
	}
	if got, err := (Page{Path: "/x", Query: "a=%zz"}).here("b", 1); err != nil || got != "/x?b=1" {
		t.Errorf("a query that cannot be read gives %q, %v", got, err)
	}
	if _, err := p.here("after"); err == nil {
		t.Error("a name without a value was taken")
	}
}

func TestTableHead(t *testing.T) {
	columns := []columnPart{{Key: "order_by", Head: "Order by"}, {Key: "packs", Head: "Packs", Class: "num"}, {Head: "Why"}}
	for query, want := range map[string]string{
		"":                      "/reorder?sort=order_by|/reorder?sort=packs|",
		"sort=order_by&after=9": "/reorder?sort=-order_by ascending|/reorder?sort=packs|",
		"sort=-packs&place=A":   "/reorder?place=A&sort=order_by|/reorder?place=A&sort=packs descending|",
	} {
		heads, err := newTable(Page{Path: "/reorder", Query: query}, columns...)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, h := range heads {
			got = append(got, strings.TrimSpace(h.Href+" "+h.Sorted))
		}
		if strings.Join(got, "|") != want {
			t.Errorf("%q: %v, want %s", query, got, want)
		}
	}
	if _, err := newColumn("a", "A", "num", "wide"); err == nil {
		t.Error("a column took two classes")
	}
}

func TestPager(t *testing.T) {
	for _, c := range []struct {
		query string
		next  any
		want  pagerPart
	}{
		{"", 0, pagerPart{}},
		{"", nil, pagerPart{}},
		{"", "", pagerPart{}},
		{"", int64(40), pagerPart{Next: "/ledger?after=40"}},
		{"after=40", code("80"), pagerPart{Next: "/ledger?after=80", Start: "/ledger"}},
		{"after=80&q=x", (*int64)(nil), pagerPart{Start: "/ledger?q=x"}},
	} {
		if got, err := newPager(Page{Path: "/ledger", Query: c.query}, c.next); err != nil || got != c.want {
			t.Errorf("%q, next %v: %+v, %v", c.query, c.next, got, err)
		}
	}
}

func TestFieldSplitsItsQuantity(t *testing.T) {
	units := []string{"bar", "psi"}
	for _, c := range []struct {
		typed       map[string]string
		value       any
		box, chosen string
	}{
		{nil, nil, "", "bar"},
		{nil, code("69 bar"), "69", "bar"},
		{nil, "500 psi", "500", "psi"},
		{nil, "7 kPa", "7 kPa", "bar"},
		{map[string]string{"pressure": "1000", "pressure.unit": "psi"}, "69 bar", "1000", "psi"},
		{map[string]string{"pressure": "69 bar", "pressure.unit": "psi"}, nil, "69 bar", "psi"}, // what was typed stays
		{map[string]string{"pressure": "", "pressure.unit": "bar"}, "500 psi", "", "bar"},
	} {
		f, err := newField(Page{Typed: c.typed}, "pressure", "kind", "quantity", "units", units, "value", c.value)
		if err != nil || f.Typed() != c.box || f.Unit() != c.chosen {
			t.Errorf("typed %v, value %v: %q %q, %v", c.typed, c.value, f.Typed(), f.Unit(), err)
		}
	}
}

func TestFieldChecked(t *testing.T) {
	for _, c := range []struct {
		typed map[string]string
		value any
		want  bool
	}{
		{nil, nil, false},
		{nil, true, true},
		{map[string]string{"seal": "true"}, nil, true},
		{map[string]string{"lot": "x"}, true, false}, // sent without the tick
	} {
		if f, err := newField(Page{Typed: c.typed}, "seal", "kind", "checkbox", "value", c.value); err != nil || f.Checked() != c.want {
			t.Errorf("typed %v, value %v: %t, %v", c.typed, c.value, f.Checked(), err)
		}
	}
}

// Whatever is typed into a date field stands in it afterwards: a date box would drop what is no date.
func TestFieldKeepsAnyDate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		typed := rapid.OneOf(rapid.String(), rapid.StringMatching(`\d{4}-\d\d-\d\d`), rapid.Just("05/04/27")).Draw(t, "typed")
		f, err := newField(Page{Typed: map[string]string{"expires_on": typed}}, "expires_on", "kind", "date")
		if err != nil {
			t.Fatal(err)
		}
		if f.Typed() != typed || (f.InputType() == "date" && !isoDay.MatchString(typed)) {
			t.Fatalf("%q stands as %q in a box for %s", typed, f.Typed(), f.InputType())
		}
	})
}

func TestFieldRefusesUnknownKind(t *testing.T) {
	if _, err := newField(Page{}, "lot", "kind", "colour"); err == nil {
		t.Error("a colour field was made")
	}
	if _, err := newButton("Go", "kind", "huge"); err == nil {
		t.Error("a huge button was made")
	}
}

func TestOptions(t *testing.T) {
	type place struct {
		Code code
		Name string
	}
	for _, c := range []struct {
		from any
		want string
	}{
		{nil, "[]"},
		{[]string{"a_b"}, "[{a_b a_b}]"},
		{[]code{"bar"}, "[{bar bar}]"},
		{[]any{newOption(code("fixed"), "fixed flow"), "x"}, "[{fixed fixed flow} {x x}]"},
		{[]place{{"CAGE", "Outdoor cage"}, {"VAN-1", ""}}, "[{CAGE Outdoor cage} {VAN-1 VAN-1}]"},
		{[]*place{{"CAGE", "Outdoor cage"}}, "[{CAGE Outdoor cage}]"},
	} {
		if got, err := options(c.from); err != nil || fmt.Sprint(got) != c.want {
			t.Errorf("%v: %v, %v, want %s", c.from, got, err, c.want)
		}
	}
	if _, err := options("CAGE"); err == nil {
		t.Error("one text was taken for a list")
	}
}

package catalogue_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/catalogue"
)

// Every field of a form is one of the order, and everything that can be typed into an order has its field.
func TestFormsFitTheirOrders(t *testing.T) {
	for _, n := range append(catalogue.Nouns(), catalogue.SettingsNoun()) {
		fits(t, n.Name, reflect.TypeOf(n.New()).Elem(), n.Form)
	}
}

func fits(t *testing.T, path string, order reflect.Type, form []catalogue.FormField) {
	t.Helper()
	fields, full := map[string][]catalogue.FormField{}, map[string]bool{}
	for _, f := range form {
		if full[f.Name] || f.Label == "" || f.Kind == "" {
			t.Errorf("%s.%s: %+v", path, f.Name, f)
		}
		full[f.Name] = true
		name, within, _ := strings.Cut(f.Name, ".")
		f.Name = within
		fields[name] = append(fields[name], f)
	}
	for _, f := range reflect.VisibleFields(order) {
		if f.Anonymous {
			continue
		}
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		shown := fields[name] != nil
		if shown != typedByPeople(order, f) {
			t.Errorf("%s.%s: on the form %v", path, name, shown)
		}
		if shown {
			kindFits(t, path+"."+name, f.Type, fields[name])
		}
		delete(fields, name)
	}
	for name := range fields {
		t.Errorf("%s.%s: not in the order", path, name)
	}
}

// typedByPeople tells apart what is typed from the version, which goes along unseen, and from what is computed: numbers beside
// a text of the same name without the unit, or without a text at all.
func typedByPeople(order reflect.Type, f reflect.StructField) bool {
	switch name := f.Name; {
	case !f.IsExported(), name == "Version", name == "ServicedAt", strings.HasSuffix(name, "Listed"), order == reflect.TypeFor[catalogue.Channel]() && name == "Formula":
		return false
	case order == reflect.TypeFor[catalogue.Settings](), order == reflect.TypeFor[catalogue.Gauge](), order == reflect.TypeFor[catalogue.Consumable]():
		return true
	default:
		computed := f.Type.Kind() == reflect.Float64 && !strings.HasSuffix(name, "PerWeek") ||
			name == "DurationS" || name == "ConditioningS"
		return !computed
	}
}

// kindFits checks the fields of one name: one, or those of an object within.
func kindFits(t *testing.T, path string, typ reflect.Type, form []catalogue.FormField) {
	t.Helper()
	if typ.Kind() == reflect.Pointer {
		typ = typ.Elem()
	}
	f := form[0]
	switch {
	case typ.Kind() == reflect.Struct:
		fits(t, path, typ, form)
		return
	case len(form) != 1:
		t.Errorf("%s is on the form %d times", path, len(form))
	case typ.Kind() == reflect.Slice && typ.Elem().Kind() == reflect.Struct:
		fits(t, path, typ.Elem(), f.Rows)
	case typ.Kind() == reflect.Slice && f.Kind == catalogue.Rows && (len(f.Rows) != 1 || f.Rows[0].Name != ""):
		t.Errorf("%s: rows of single values want one field without a name", path)
	}
	want := map[reflect.Kind][]catalogue.FieldKind{
		reflect.Bool:    {catalogue.Checkbox, catalogue.Select},
		reflect.Int64:   {catalogue.Number},
		reflect.Float64: {catalogue.Number},
		reflect.Slice:   {catalogue.Rows, catalogue.Words},
		reflect.Map:     {catalogue.Text},
		reflect.String:  {catalogue.Text, catalogue.Textarea, catalogue.Select, catalogue.Day, catalogue.Quantity},
	}[typ.Kind()]
	if !slices.Contains(want, f.Kind) || (f.Kind == catalogue.Quantity) != (typ.Name() == "Typed") || (f.Kind == catalogue.Quantity) != (len(f.Units) > 0) {
		t.Errorf("%s is a %s and shown as %s", path, typ, f.Kind)
	}
	if f.Kind == catalogue.Select && len(f.Options) == 0 && f.Choices == "" {
		t.Errorf("%s offers nothing", path)
	}
}

func TestChoicesAreOfNounsThatExist(t *testing.T) {
	names := map[string]bool{"": true}
	for _, n := range catalogue.Nouns() {
		names[n.Name] = true
		if at, ok := catalogue.NounAt(n.Plural); !ok || at.Name != n.Name {
			t.Errorf("%s is not found at %s", n.Name, n.Plural)
		}
	}
	for _, n := range catalogue.Nouns() {
		for _, f := range n.Form {
			for _, g := range append([]catalogue.FormField{f}, f.Rows...) {
				if !names[g.Choices] {
					t.Errorf("%s.%s offers %q", n.Name, g.Name, g.Choices)
				}
			}
		}
	}
}

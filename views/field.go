package views

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
)

// kinds of field that the part "field" draws.
var kinds = []string{"text", "number", "date", "select", "choice", "checkbox", "textarea", "quantity", "password", "file"}

// Option is one choice of a select or of radio buttons.
type Option struct{ Value, Text string }

// fieldPart is what the part "field" takes; its comment tells each name.
type fieldPart struct {
	Name, Label, Hint, Kind        string
	Value                          any
	Units                          []string
	Options                        any
	Blank                          string
	Required, Focus, Submit        bool
	Cursor                         bool // in place of the focus where a notice stands on top, see static/form.js
	Scan                           string
	Autocomplete, Inputmode, Enter string
	Suggest                        []string
	Accept, Form                   string
	About                          string // another element that describes the field
	Line                           string // what a line of the repeated part is called that the field stands in
	Rows                           int

	typed, unit string
	ticked      bool
	fault       *Field
}

func newField(p Page, name any, pairs ...any) (fieldPart, error) {
	f := fieldPart{Name: text(name), Kind: "text", Rows: 3}
	if err := fill(&f, pairs); err != nil {
		return f, err
	}
	if !slices.Contains(kinds, f.Kind) {
		return f, fmt.Errorf("field %s: there is no kind %q", f.Name, f.Kind)
	}
	if p.labels != nil {
		p.labels[f.Name] = spokenLabel(f.Name, f.Label, f.Line)
	}
	f.Cursor, f.Focus = f.Focus && p.Notice != "", f.Focus && p.Notice == ""
	f.fault = p.fault(f.Name)
	f.typed = p.typed(f.Name, f.Value)
	f.ticked = f.typed == "true"
	if _, sent := p.Typed[f.Name]; !sent && len(p.Typed) > 0 {
		f.ticked = false // a form that is sent says nothing of a box without its tick
	}
	if f.Kind == "quantity" {
		f.splitUnit(p)
	}
	return f, nil
}

// splitUnit parts "69 bar" into box and unit, unless the unit was chosen beside it. Without any, the first unit stands.
func (f *fieldPart) splitUnit(p Page) {
	if _, sent := p.Typed[f.Name]; !sent {
		if value, unit, ok := strings.Cut(strings.TrimSpace(f.typed), " "); ok && slices.Contains(f.Units, unit) {
			f.typed, f.unit = value, unit
		}
	}
	f.unit = p.typed(f.Name+".unit", f.unit)
	if f.unit == "" && len(f.Units) > 0 {
		f.unit = f.Units[0]
	}
}

// Typed is what stands in the box: what was typed, else the value given.
func (f fieldPart) Typed() string { return f.typed }

// Unit is the unit chosen beside the box.
func (f fieldPart) Unit() string { return f.unit }

// Fault is what is wrong with the field, or nil.
func (f fieldPart) Fault() *Field { return f.fault }

// ID is the id of the control.
func (f fieldPart) ID() string { return fieldID(f.Name) }

// Describes lists the elements that describe the control: hint, fault and what else the page names.
func (f fieldPart) Describes() string {
	var ids []string
	if f.About != "" {
		ids = append(ids, f.About)
	}
	if f.Hint != "" {
		ids = append(ids, f.ID()+"-hint")
	}
	if f.fault != nil {
		ids = append(ids, f.ID()+"-fault")
	}
	return strings.Join(ids, " ")
}

var isoDay = regexp.MustCompile(`^(\d{4}-\d\d-\d\d)?$`)

// InputType is the type of the input element. A date that a date box cannot hold stays as typed in a text box, and numbers
// are typed as text, since a number box swallows what it does not understand.
func (f fieldPart) InputType() string {
	switch f.Kind {
	case "password", "file":
		return f.Kind
	case "date":
		if isoDay.MatchString(f.typed) {
			return "date"
		}
	}
	return "text"
}

// Mode is the keyboard that a phone offers.
func (f fieldPart) Mode() string {
	switch {
	case f.Inputmode != "":
		return f.Inputmode
	case f.Kind == "number":
		return "numeric"
	case f.Kind == "quantity":
		return "decimal"
	}
	return ""
}

// Checked tells whether the box is ticked.
func (f fieldPart) Checked() bool { return f.ticked }

// Choices gives the options of a select or of radio buttons.
func (f fieldPart) Choices() ([]Option, error) { return options(f.Options) }

func newOption(value, shown any) Option { return Option{text(value), text(shown)} }

// options reads a list of texts, of Option, or of catalogue things that have a Code and a Name.
func options(v any) ([]Option, error) {
	r := plain(v)
	if !r.IsValid() {
		return nil, nil
	}
	if r.Kind() != reflect.Slice {
		return nil, fmt.Errorf("options: %s is no list", r.Type())
	}
	all := make([]Option, r.Len())
	for i := range all {
		item := r.Index(i).Interface()
		one, ok := item.(Option)
		if !ok {
			one = optionOf(item)
		}
		all[i] = one
	}
	return all, nil
}

func optionOf(v any) Option {
	r := plain(v)
	if r.Kind() != reflect.Struct || !r.FieldByName("Code").IsValid() {
		return Option{text(v), known(v)}
	}
	code := text(r.FieldByName("Code").Interface())
	if name := r.FieldByName("Name"); name.IsValid() && text(name.Interface()) != "" {
		return Option{code, text(name.Interface())}
	}
	return Option{code, code}
}

// fieldID makes the id of a field's control from its dotted name.
func fieldID(name string) string { return "f-" + strings.NewReplacer(".", "-", " ", "-").Replace(name) }

package catalogue

import (
	"cmp"
	"slices"
)

// FormField is one field of the form of a noun, so that one template makes the forms of all of them.
type FormField struct {
	Name     string // the name in the order; in rows it follows the number of the row, and "" is the row itself
	Label    string
	Hint     string
	Kind     FieldKind
	Units    []string // for a quantity, the usual one first
	Choices  string   // the noun whose codes are offered
	Options  []string // the words that are offered; a select takes no others
	Required bool
	Group    string // fields of one group follow each other under this heading; in rows, what has a group is folded away under it
	Rows     []FormField
	One      string // what a row of several fields is called
	Unset    string // the value of a field that nobody has filled in; it is shown empty
}

// Line is what a row is called, before its number: "Channel 2".
func (f FormField) Line() string {
	if len(f.Rows) == 1 {
		return f.Rows[0].Label
	}
	return cmp.Or(f.One, f.Label)
}

// Folds tells whether a row has so many fields that some are folded away.
func (f FormField) Folds() bool {
	return slices.ContainsFunc(f.Rows, func(g FormField) bool { return g.Group != "" })
}

// FieldKind is how a field is filled in.
type FieldKind string

// The kinds of field. A text with options or choices offers them and takes others too.
const (
	Text     FieldKind = "text"
	Number   FieldKind = "number"
	Quantity FieldKind = "quantity"
	Select   FieldKind = "select"
	Checkbox FieldKind = "checkbox"
	Day      FieldKind = "date"
	Textarea FieldKind = "textarea"
	Words    FieldKind = "words" // several words in one box, with commas between
	Rows     FieldKind = "rows"
)

var (
	pressureUnits = []string{"bar", "psi", "kPa", "MPa"}
	volumeUnits   = []string{"L", "mL", "in3"}
	flowUnits     = []string{"L/min", "mL/min"}
	amountUnits   = []string{"ppm", "%vol", "ppb"}
	levelUnits    = []string{"ppm", "%vol", "%LEL", "ppb"}
	volPctUnits   = []string{"%vol"}
	durationUnits = []string{"s", "min"}
	lengthUnits   = []string{"m", "cm", "mm", "ft"}
	priceUnits    = []string{"EUR", "GBP", "USD", "CHF", "SEK", "NOK", "DKK", "PLN", "CAD", "AUD"}
)

var (
	codeField = FormField{Name: "code", Label: "Code", Hint: "Up to 40 letters, digits, points, hyphens or underscores. It never changes.", Kind: Text, Required: true}
	nameField = FormField{Name: "name", Label: "Name", Hint: "In plain words. The code is shown where there is none.", Kind: Text}
	noteField = FormField{Name: "note", Label: "Note", Kind: Textarea}
)

// What the pieces of equipment have alike.
var (
	lastGasField      = FormField{Name: "last_gas", Label: "Last gas", Hint: "What went through it last, as far as you state it. Another one than before holds from now on; later check-outs count by themselves.", Kind: Select, Choices: "component", Group: keeping}
	servicedField     = FormField{Name: "serviced", Label: "Serviced now", Hint: "Checked, cleaned, replaced or released by the site's procedure. Check-outs from before now no longer count, for its last gas or its uses.", Kind: Checkbox, Group: keeping}
	placeField        = FormField{Name: "place", Label: "Place", Hint: "Where it is kept.", Kind: Select, Choices: "place", Group: keeping}
	checkDueField     = FormField{Name: "check_due_on", Label: "Check due on", Hint: "Empty: the site has set none.", Kind: Day, Group: keeping}
	dueAfterUsesField = FormField{Name: "due_after_uses", Label: "Due after uses", Hint: "Check-outs, counted since it was last serviced. Empty: no count.", Kind: Number, Group: keeping}
	outOfServiceField = FormField{Name: "out_of_service", Label: "Out of service", Hint: "It is not proposed and not handed out.", Kind: Checkbox, Group: keeping}
)

const keeping = "Keeping it"

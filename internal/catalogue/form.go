package catalogue

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
	Group    string // fields of one group follow each other under this heading
	Rows     []FormField
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
	Rows     FieldKind = "rows"
)

var (
	pressureUnits = []string{"bar", "psi", "kPa", "MPa"}
	volumeUnits   = []string{"L", "mL", "in3"}
	flowUnits     = []string{"L/min", "mL/min"}
	amountUnits   = []string{"ppm", "%vol", "ppb"}
	durationUnits = []string{"s", "min"}
	lengthUnits   = []string{"m", "cm", "mm", "ft"}
	priceUnits    = []string{"EUR", "GBP", "USD", "CHF", "SEK", "NOK", "DKK", "PLN", "CAD", "AUD"}
)

var (
	codeField = FormField{Name: "code", Label: "Code", Hint: "Up to 40 letters, digits, points, hyphens or underscores. It never changes.", Kind: Text, Required: true}
	nameField = FormField{Name: "name", Label: "Name", Hint: "In plain words. The code is shown where there is none.", Kind: Text}
	noteField = FormField{Name: "note", Label: "Note", Kind: Textarea}
)

// placeField is where a piece of equipment is kept.
var placeField = FormField{Name: "place", Label: "Place", Hint: "Where it is kept.", Kind: Select, Choices: "place"}

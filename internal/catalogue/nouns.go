package catalogue

import "spanroom/internal/auth"

// Noun is one sort of thing in the catalogue.
type Noun struct {
	Name   string    // "item", as in the ledger
	Plural string    // "items", as in addresses
	Title  string    // "Items", as on pages
	Deed   auth.Deed // what one must be allowed to do to write it
	Form   []FormField
	New    func() Order // an empty order
}

// Site is the code under which the settings are kept; there is one of them.
const Site = "site"

const settingsNoun = "settings"

// SettingsNoun is the one sort of which there is one; it stands under the code Site.
func SettingsNoun() Noun {
	return Noun{settingsNoun, "settings", "Settings", auth.EditSettings, settingsForm(), func() Order { return blankSettings() }}
}

// Nouns lists every noun whose things go by codes, in the order in which a new site fills them.
func Nouns() []Noun {
	return []Noun{
		{"component", "components", "Components", auth.EditGases, componentForm, func() Order { return new(Component) }},
		{"blend", "blends", "Blends", auth.EditGases, blendForm, func() Order { return new(Blend) }},
		{"supplier", "suppliers", "Suppliers", auth.EditSources, supplierForm, func() Order { return new(Supplier) }},
		{"place", "places", "Places", auth.EditPlaces, placeForm, func() Order { return new(Place) }},
		{"item", "items", "Items", auth.EditSources, itemForm(), func() Order { return new(Item) }},
		{"regulator", "regulators", "Regulators", auth.EditEquipment, regulatorForm(), func() Order { return new(Regulator) }},
		{"tubing", "tubings", "Tubing", auth.EditEquipment, tubingForm, func() Order { return new(Tubing) }},
		{"cap", "caps", "Calibration caps", auth.EditEquipment, capForm, func() Order { return new(Cap) }},
		{"procedure", "procedures", "Procedures", auth.EditTesting, procedureForm(), func() Order { return new(Procedure) }},
		{"model", "models", "Instrument models", auth.EditTesting, modelForm(), func() Order { return new(Model) }},
		{"instrument", "instruments", "Instruments", auth.EditTesting, instrumentForm(), func() Order { return new(Instrument) }},
		{"round", "rounds", "Rounds", auth.EditTesting, roundForm, func() Order { return new(Round) }},
	}
}

// NounAt gives the noun that stands at an address, by its plural.
func NounAt(plural string) (Noun, bool) {
	return nounBy(func(n Noun) bool { return n.Plural == plural })
}

func nounNamed(name string) (Noun, bool) {
	if name == settingsNoun {
		return SettingsNoun(), true
	}
	return nounBy(func(n Noun) bool { return n.Name == name })
}

func nounBy(is func(Noun) bool) (Noun, bool) {
	for _, n := range Nouns() {
		if is(n) {
			return n, true
		}
	}
	return Noun{}, false
}

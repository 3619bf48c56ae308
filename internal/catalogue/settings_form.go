package catalogue

import "reflect"

func settingsForm() []FormField {
	const site = "Site"
	form := []FormField{
		{Name: "site_name", Label: "Name of the site", Kind: Text, Group: site},
		{Name: "zone", Label: "Time zone", Hint: "In which dates begin and end (T5), such as Europe/Amsterdam.", Kind: Text, Required: true, Group: site},
		{Name: "emergency_numbers", Label: "Emergency numbers", Hint: "Shown on a suspected leak, a recall and on print.", Kind: Textarea, Group: site},
		{Name: "currency", Label: "Currency", Hint: "By its three letters; for prices without one.", Kind: Text, Options: priceUnits, Required: true, Group: site},
		{Name: "reference", Label: "Litres are counted at", Hint: "The reference condition.", Kind: Select, Options: references(), Required: true, Group: aboutReading},
		{Name: "gauges", Label: "Gauges", Hint: "With the limit of error of each.", Kind: Rows, Group: aboutReading, One: "Gauge", Rows: []FormField{
			{Name: "code", Label: "Code", Kind: Text, Required: true},
			{Name: "limit_bar", Label: "Plus or minus, bar", Kind: Number, Required: true},
		}},
		{Name: "default_gauge", Label: "Usual gauge", Hint: "Where nobody says which.", Kind: Text, Required: true, Group: aboutReading},
		{Name: "expiry_valid", Label: "On the day of expiry", Hint: "Gas may be used through that day, or only before it (T5).", Kind: Select, Options: []string{Through, Before}, Required: true, Group: aboutDates},
		{Name: "late_days", Label: "Reminders after, days", Hint: "Past the planned end: to the holder, the clerk, the supervisor.", Kind: Rows, Group: aboutReturn, Rows: []FormField{
			{Label: "Days", Kind: Number, Required: true},
		}},
	}
	for _, f := range figures {
		form = append(form, f.field())
	}
	return byGroup(form)
}

func (f figure) field() FormField {
	field := FormField{Name: f.name, Label: f.label, Hint: f.hint, Kind: Number, Required: true, Group: f.group}
	if f.unit != "" {
		field.Label += ", " + f.unit
	}
	if kindOf(f.name) == reflect.Bool {
		field.Kind, field.Required = Checkbox, false
	}
	return field
}

// byGroup puts the fields of one group beside each other, the groups in the order in which they first come.
func byGroup(form []FormField) []FormField {
	var sorted []FormField
	done := map[string]bool{}
	for _, first := range form {
		if done[first.Group] {
			continue
		}
		done[first.Group] = true
		for _, f := range form {
			if f.Group == first.Group {
				sorted = append(sorted, f)
			}
		}
	}
	return sorted
}

// kindOf tells whether a setting is a number or a tick.
func kindOf(name string) reflect.Kind {
	return valueOf(&Settings{}, name).Kind()
}

// valueOf finds a setting by its name in JSON; the zero Value where there is none.
func valueOf(s *Settings, name string) reflect.Value {
	v := reflect.ValueOf(s).Elem()
	for i := range v.NumField() {
		if v.Type().Field(i).Tag.Get("json") == name {
			return v.Field(i)
		}
	}
	return reflect.Value{}
}

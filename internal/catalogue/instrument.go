package catalogue

import (
	"context"
	"fmt"

	"spanroom/internal/unit"
	"spanroom/models"
)

// Instrument is one gas detector; its code is its serial. What it says of set values is what differs from its model.
type Instrument struct {
	Code                 string     `json:"code"`
	Name                 string     `json:"name,omitempty"`
	Version              int64      `json:"version"`
	Model                string     `json:"model,omitempty"`
	Place                string     `json:"place,omitempty"`
	Schedule             []Schedule `json:"schedule,omitempty"`
	SetValues            []SetValue `json:"set_values,omitempty"`
	SetValuesConfirmedOn unit.Date  `json:"set_values_confirmed_on,omitempty"` // compared with the screen
	ChangedOn            unit.Date  `json:"changed_on,omitempty"`              // the last change of a sensor or the firmware, or repair
	FilterDueOn          unit.Date  `json:"filter_due_on,omitempty"`
	OutOfService         bool       `json:"out_of_service"`
	Note                 string     `json:"note,omitempty"`
}

// Schedule says how often an instrument is due for a procedure.
type Schedule struct {
	Procedure string `json:"procedure"`
	EveryDays int64  `json:"every_days"`
}

func (o *Instrument) head() head { return head{"instrument", &o.Code, &o.Name, &o.Version} }

func (o *Instrument) check(ctx context.Context, c *checker) projection {
	model := c.known(ctx, "model", "model", &o.Model, false)
	place := c.known(ctx, "place", "place", &o.Place, false)
	seen := map[string]bool{}
	for i := range o.Schedule {
		line, field := &o.Schedule[i], fmt.Sprintf("schedule.%d.", i)
		c.known(ctx, field+"procedure", "procedure", &line.Procedure, true)
		c.whole(field+"every_days", line.EveryDays, 1, 3650, "days")
		c.once(field+"procedure", "procedure", line.Procedure, seen)
	}
	if model != nil || o.Model == "" {
		o.setValues(ctx, c)
	}
	c.past("set_values_confirmed_on", &o.SetValuesConfirmedOn)
	c.past("changed_on", &o.ChangedOn)
	o.confirmed(c)
	c.date("filter_due_on", &o.FilterDueOn)
	c.note("note", &o.Note)
	return projection{row: &models.Instrument{
		Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, ModelID: model, PlaceID: place,
	}}
}

// confirmed fills in when the set values were compared with the screen, where that is left out: today for a new instrument, as
// its values are read off it now; as it was for one that is there already, or was changed since.
func (o *Instrument) confirmed(c *checker) {
	switch {
	case o.SetValuesConfirmedOn != "":
	case c.before != "":
		var had Instrument
		if err := decode("instrument", c.before, &had); err != nil {
			c.broken = err
		}
		o.SetValuesConfirmedOn = had.SetValuesConfirmedOn
	case o.ChangedOn == "":
		o.SetValuesConfirmedOn = c.today
	}
}

func instrumentForm() []FormField {
	const schedule, screen = "What it is due for", "What its screen shows"
	return []FormField{
		{Name: "code", Label: "Serial", Hint: "The serial on the instrument. It never changes.", Kind: Text, Required: true},
		nameField,
		{Name: "model", Label: "Model", Kind: Select, Choices: "model"},
		{Name: "place", Label: "Place", Hint: "Where it is kept.", Kind: Select, Choices: "place"},
		{Name: "out_of_service", Label: "Out of service", Hint: "It is not tested until it is repaired.", Kind: Checkbox},
		{Name: "schedule", Label: "Schedule", Hint: "What it is due for, and how often.", Kind: Rows, Group: schedule, One: "Line of the schedule", Rows: []FormField{
			{Name: "procedure", Label: "Procedure", Kind: Select, Choices: "procedure", Required: true},
			{Name: "every_days", Label: "Every so many days", Kind: Number, Required: true},
		}},
		{Name: "filter_due_on", Label: "Filter due on", Hint: "Empty: the site has set none.", Kind: Day, Group: schedule},
		{Name: "set_values", Label: "Set values", Hint: "Only those that differ from the model's.", Kind: Rows, Group: screen, One: "Set value", Rows: []FormField{
			{Name: "component", Label: "Component", Hint: "Of the channel.", Kind: Select, Choices: "component", Required: true},
			{Name: "name", Label: "Name", Hint: "Of the channel, where two have the same component.", Kind: Text},
			{Name: "set_value", Label: "Set value", Kind: Quantity, Units: levelUnits, Required: true},
		}},
		{Name: "set_values_confirmed_on", Label: "Compared with the screen on", Hint: "All set values, the model's too. Empty: today for a new one, else as it was.", Kind: Day, Group: screen},
		{Name: "changed_on", Label: "Last changed on", Hint: "A sensor, the firmware or a repair. The set values then want to be compared anew.", Kind: Day, Group: screen},
		noteField,
	}
}

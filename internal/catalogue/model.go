package catalogue

import (
	"context"
	"fmt"

	"spanroom/internal/unit"
	"spanroom/models"
)

// Model is a type of gas detector, with the channels that are known of it.
type Model struct {
	Code     string    `json:"code"`
	Name     string    `json:"name,omitempty"`
	Version  int64     `json:"version"`
	Channels []Channel `json:"channels,omitempty"`
	Manual   string    `json:"manual,omitempty"`
	Note     string    `json:"note,omitempty"`
}

// Channel is one gas that a model measures: what it is set to, and where it alarms.
type Channel struct {
	Component string     `json:"component"`
	SetValue  unit.Typed `json:"set_value,omitempty"`
	LowAlarm  unit.Typed `json:"low_alarm,omitempty"`
	HighAlarm unit.Typed `json:"high_alarm,omitempty"`
}

func (o *Model) head() head { return head{"model", &o.Code, &o.Name, &o.Version} }

func (o *Model) check(ctx context.Context, c *checker) projection {
	seen := map[string]bool{}
	for i := range o.Channels {
		channel, field := &o.Channels[i], fmt.Sprintf("channels.%d.", i)
		c.known(ctx, field+"component", "component", &channel.Component, true)
		quantity(c, field+"set_value", &channel.SetValue, unit.ParseAmount)
		quantity(c, field+"low_alarm", &channel.LowAlarm, unit.ParseAmount)
		quantity(c, field+"high_alarm", &channel.HighAlarm, unit.ParseAmount)
		c.once(field+"component", "channel", channel.Component, seen)
	}
	c.text("manual", &o.Manual)
	c.note("note", &o.Note)
	return projection{row: &models.InstrumentModel{Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version}}
}

var modelForm = []FormField{
	codeField,
	nameField,
	{Name: "channels", Label: "Channels", Hint: "What it measures, as far as it is known.", Kind: Rows, Rows: []FormField{
		{Name: "component", Label: "Component", Kind: Select, Choices: "component", Required: true},
		{Name: "set_value", Label: "Set value", Hint: "The gas that it is set to expect.", Kind: Quantity, Units: amountUnits},
		{Name: "low_alarm", Label: "Low alarm", Hint: "R18", Kind: Quantity, Units: amountUnits},
		{Name: "high_alarm", Label: "High alarm", Hint: "R18", Kind: Quantity, Units: amountUnits},
	}},
	{Name: "manual", Label: "Manual", Hint: "Its title and revision.", Kind: Text},
	noteField,
}

package catalogue

import (
	"context"
	"fmt"

	"spanroom/models"
)

// Instrument is one gas detector; its code is its serial.
type Instrument struct {
	Code     string     `json:"code"`
	Name     string     `json:"name,omitempty"`
	Version  int64      `json:"version"`
	Model    string     `json:"model,omitempty"`
	Place    string     `json:"place,omitempty"`
	Schedule []Schedule `json:"schedule,omitempty"`
	Note     string     `json:"note,omitempty"`
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
	c.note("note", &o.Note)
	return projection{row: &models.Instrument{
		Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, ModelID: model, PlaceID: place,
	}}
}

var instrumentForm = []FormField{
	{Name: "code", Label: "Serial", Hint: "The serial on the instrument. It never changes.", Kind: Text, Required: true},
	nameField,
	{Name: "model", Label: "Model", Kind: Select, Choices: "model"},
	placeField,
	{Name: "schedule", Label: "Schedule", Hint: "What it is due for, and how often.", Kind: Rows, Rows: []FormField{
		{Name: "procedure", Label: "Procedure", Kind: Select, Choices: "procedure", Required: true},
		{Name: "every_days", Label: "Every so many days", Kind: Number, Required: true},
	}},
	noteField,
}

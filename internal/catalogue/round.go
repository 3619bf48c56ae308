package catalogue

import (
	"context"
	"fmt"
	"strings"

	"spanroom/models"
)

// Round is a planned set of instruments that are tested together. It may name instruments that are not in the catalogue yet.
type Round struct {
	Code            string      `json:"code"`
	Name            string      `json:"name,omitempty"`
	Version         int64       `json:"version"`
	Place           string      `json:"place,omitempty"`
	Instruments     []string    `json:"instruments"`
	Tests           []RoundTest `json:"tests"`
	SessionsPerWeek float64     `json:"sessions_per_week"`
	Note            string      `json:"note,omitempty"`
}

// RoundTest is how often each instrument of a round has a procedure.
type RoundTest struct {
	Procedure    string  `json:"procedure"`
	TimesPerWeek float64 `json:"times_per_week"`
}

const mostPerWeek = 168

func (o *Round) head() head { return head{"round", &o.Code, &o.Name, &o.Version} }

func (o *Round) check(ctx context.Context, c *checker) projection {
	place := c.known(ctx, "place", "place", &o.Place, false)
	o.instruments(c)
	seen := map[string]bool{}
	for i := range o.Tests {
		test, field := &o.Tests[i], fmt.Sprintf("tests.%d.", i)
		c.known(ctx, field+"procedure", "procedure", &test.Procedure, true)
		c.number(field+"times_per_week", test.TimesPerWeek, 0, mostPerWeek, "times a week")
		c.once(field+"procedure", "procedure", test.Procedure, seen)
	}
	c.number("sessions_per_week", o.SessionsPerWeek, 0, mostPerWeek, "sessions a week")
	c.note("note", &o.Note)
	return projection{row: &models.Round{Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, PlaceID: place}}
}

func (o *Round) instruments(c *checker) {
	seen := map[string]bool{}
	for i := range o.Instruments {
		field := fmt.Sprintf("instruments.%d", i)
		o.Instruments[i] = strings.TrimSpace(o.Instruments[i])
		if serial := o.Instruments[i]; !codePattern.MatchString(serial) {
			c.wrong.Add(field, fmt.Sprintf("%q is not a serial", clip(serial)), "write the serial of one instrument, or take the line out")
			continue
		}
		c.once(field, "instrument", o.Instruments[i], seen)
	}
	if o.Instruments == nil {
		o.Instruments = []string{}
	}
	if o.Tests == nil {
		o.Tests = []RoundTest{}
	}
}

var roundForm = []FormField{
	codeField,
	nameField,
	{Name: "place", Label: "Place", Hint: "The van or place that it starts from.", Kind: Select, Choices: "place"},
	{Name: "instruments", Label: "Instruments", Hint: "Their serials.", Kind: Rows, Rows: []FormField{{Label: "Serial", Kind: Text, Choices: "instrument", Required: true}}},
	{Name: "tests", Label: "Tests", Hint: "Of each instrument. The planner counts on them.", Kind: Rows, One: "Test", Rows: []FormField{
		{Name: "procedure", Label: "Procedure", Kind: Select, Choices: "procedure", Required: true},
		{Name: "times_per_week", Label: "Times a week", Hint: "0.23 is once a month.", Kind: Number, Required: true},
	}},
	{Name: "sessions_per_week", Label: "Sessions a week", Hint: "Each takes one purge.", Kind: Number},
	noteField,
}

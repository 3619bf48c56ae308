package catalogue

import (
	"context"
	"fmt"

	"spanroom/internal/unit"
	"spanroom/models"
)

// Cap is one calibration cap, which lets gas onto the sensors of the models that it fits.
type Cap struct {
	Code         string    `json:"code"`
	Name         string    `json:"name,omitempty"`
	Version      int64     `json:"version"`
	Models       []string  `json:"models"`
	CheckDueOn   unit.Date `json:"check_due_on,omitempty"`
	DueAfterUses *int64    `json:"due_after_uses,omitempty"`
	OutOfService bool      `json:"out_of_service"`
	Place        string    `json:"place,omitempty"`
	Note         string    `json:"note,omitempty"`
	Service
}

func (o *Cap) head() head { return head{"cap", &o.Code, &o.Name, &o.Version} }

func (o *Cap) check(ctx context.Context, c *checker) projection {
	if o.Models == nil {
		o.Models = []string{}
	}
	seen := map[string]bool{}
	for i := range o.Models {
		field := fmt.Sprintf("models.%d", i)
		c.known(ctx, field, "model", &o.Models[i], true)
		c.once(field, "model", o.Models[i], seen)
	}
	c.date("check_due_on", &o.CheckDueOn)
	c.uses("due_after_uses", o.DueAfterUses)
	place := c.known(ctx, "place", "place", &o.Place, false)
	c.note("note", &o.Note)
	return projection{row: &models.Cap{Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, PlaceID: place, ServicedAt: o.since(c, "")}}
}

var capForm = []FormField{
	codeField,
	nameField,
	{Name: "models", Label: "Models", Hint: "The instrument models that it is made for.", Kind: Rows, Rows: []FormField{{Label: "Model", Kind: Select, Choices: "model", Required: true}}},
	servicedField,
	checkDueField,
	dueAfterUsesField,
	outOfServiceField,
	placeField,
	noteField,
}

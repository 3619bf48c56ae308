package catalogue

import (
	"context"

	"spanroom/internal/unit"
	"spanroom/models"
)

// Tubing is one length of tubing.
type Tubing struct {
	Code         string     `json:"code"`
	Name         string     `json:"name,omitempty"`
	Version      int64      `json:"version"`
	Material     string     `json:"material"`
	Length       unit.Typed `json:"length"`
	LengthM      float64    `json:"length_m"`
	LastGas      string     `json:"last_gas,omitempty"`
	CheckDueOn   unit.Date  `json:"check_due_on,omitempty"`
	DueAfterUses *int64     `json:"due_after_uses,omitempty"`
	OutOfService bool       `json:"out_of_service"`
	Place        string     `json:"place,omitempty"`
	Note         string     `json:"note,omitempty"`
	Service
}

var tubingMaterials = []string{"PTFE", "FEP", "PFA", "PVC", "polyurethane", "silicone", "rubber"}

func (o *Tubing) head() head { return head{"tubing", &o.Code, &o.Name, &o.Version} }

func (o *Tubing) check(ctx context.Context, c *checker) projection {
	c.text("material", &o.Material)
	if o.Material == "" {
		c.missing("material", "say what it is made of, such as PTFE")
	}
	length := needed(c, "length", &o.Length, unit.ParseLength)
	c.known(ctx, "last_gas", "component", &o.LastGas, false)
	c.date("check_due_on", &o.CheckDueOn)
	c.uses("due_after_uses", o.DueAfterUses)
	place := c.known(ctx, "place", "place", &o.Place, false)
	c.note("note", &o.Note)
	o.LengthM = length.Metres()
	return projection{row: &models.Tubing{
		Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, Material: o.Material, Length: length, PlaceID: place, ServicedAt: o.since(c, o.LastGas),
	}}
}

var tubingForm = []FormField{
	codeField,
	nameField,
	{Name: "material", Label: "Material", Hint: "Which gases it may carry depends on it.", Kind: Text, Options: tubingMaterials, Required: true},
	{Name: "length", Label: "Length", Hint: "Long tubing takes away gas that clings.", Kind: Quantity, Units: lengthUnits, Required: true},
	lastGasField,
	servicedField,
	checkDueField,
	dueAfterUsesField,
	outOfServiceField,
	placeField,
	noteField,
}

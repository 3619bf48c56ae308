package catalogue

import (
	"context"

	"spanroom/internal/unit"
	"spanroom/models"
)

// Regulator is one regulator. Its flow is what it delivers when fixed; one on demand delivers what a pump draws.
type Regulator struct {
	Code            string     `json:"code"`
	Name            string     `json:"name,omitempty"`
	Version         int64      `json:"version"`
	Inlet           string     `json:"inlet"`
	InletListed     string     `json:"inlet_listed,omitempty"`
	MaxPressure     unit.Typed `json:"max_pressure"`
	MaxPressureBar  float64    `json:"max_pressure_bar"`
	MinimumInlet    unit.Typed `json:"minimum_inlet,omitempty"`
	MinimumInletBar float64    `json:"minimum_inlet_bar"`
	Mode            string     `json:"mode"`
	Flow            unit.Typed `json:"flow,omitempty"`
	FlowLMin        float64    `json:"flow_l_min"`
	Body            string     `json:"body,omitempty"`
	LastGas         string     `json:"last_gas,omitempty"`
	CheckDueOn      unit.Date  `json:"check_due_on,omitempty"`
	Place           string     `json:"place,omitempty"`
	Note            string     `json:"note,omitempty"`
}

// The modes of a regulator.
const (
	FixedFlow  = "fixed"
	DemandFlow = "demand"
)

var bodies = []string{"stainless", "nickel-plated", "brass"}

func (o *Regulator) head() head { return head{"regulator", &o.Code, &o.Name, &o.Version} }

func (o *Regulator) check(ctx context.Context, c *checker) projection {
	o.InletListed = c.outlet("inlet", &o.Inlet)
	rating := needed(c, "max_pressure", &o.MaxPressure, unit.ParsePressure)
	minimum := quantity(c, "minimum_inlet", &o.MinimumInlet, unit.ParsePressure)
	if minimum > 0 && rating > 0 && minimum >= rating {
		c.wrong.Add("minimum_inlet", "the minimum inlet pressure is not below the rating", "check both figures and their units")
	}
	c.oneOf("mode", &o.Mode, FixedFlow, DemandFlow)
	flow := o.flow(c)
	c.text("body", &o.Body)
	c.known(ctx, "last_gas", "component", &o.LastGas, false)
	c.date("check_due_on", &o.CheckDueOn)
	place := c.known(ctx, "place", "place", &o.Place, false)
	c.note("note", &o.Note)
	o.MaxPressureBar, o.MinimumInletBar, o.FlowLMin = rating.Bar(), minimum.Bar(), flow.LitresPerMinute()
	return projection{row: &models.Regulator{
		Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, Inlet: o.InletListed, MaxPressure: rating, MinimumInlet: minimum,
		Mode: o.Mode, Flow: flow, Body: o.Body, PlaceID: place,
	}}
}

// flow is what a fixed-flow regulator must say; of one on demand it may be the most that it gives.
func (o *Regulator) flow(c *checker) unit.Flow {
	if o.Mode == FixedFlow {
		return needed(c, "flow", &o.Flow, unit.ParseFlow)
	}
	return quantity(c, "flow", &o.Flow, unit.ParseFlow)
}

func regulatorForm() []FormField {
	return []FormField{
		codeField,
		nameField,
		{Name: "inlet", Label: "Inlet", Hint: "The outlet that it takes, as assembled.", Kind: Text, Options: outletOptions(), Required: true},
		{Name: "max_pressure", Label: "Rated inlet pressure", Hint: "As stamped on it.", Kind: Quantity, Units: pressureUnits, Required: true},
		{Name: "minimum_inlet", Label: "Minimum inlet pressure", Hint: "Below it the flow is not as rated. Empty: none.", Kind: Quantity, Units: pressureUnits},
		{Name: "mode", Label: "Mode", Hint: "Fixed flow, or on the demand of a pump.", Kind: Select, Options: []string{FixedFlow, DemandFlow}, Required: true},
		{Name: "flow", Label: "Flow", Hint: "Needed for fixed flow.", Kind: Quantity, Units: flowUnits},
		{Name: "body", Label: "Body", Hint: "The wetted material.", Kind: Text, Options: bodies},
		{Name: "last_gas", Label: "Last gas", Hint: "What went through it before it came here.", Kind: Select, Choices: "component"},
		{Name: "check_due_on", Label: "Check due on", Hint: "Empty: the site has set none.", Kind: Day},
		placeField,
		noteField,
	}
}

package catalogue

import (
	"context"

	"spanroom/internal/unit"
	"spanroom/models"
)

// Regulator is one regulator. Its flow is what it delivers when fixed; one on demand delivers what a pump draws. Vented, it has
// an open tee between itself and the instrument, through which what a pump does not take goes off.
type Regulator struct {
	Code            string     `json:"code"`
	Name            string     `json:"name,omitempty"`
	Version         int64      `json:"version"`
	Inlet           string     `json:"inlet"`
	InletListed     string     `json:"inlet_listed,omitempty"`
	Adapter         *Adapter   `json:"adapter,omitempty"`
	MaxPressure     unit.Typed `json:"max_pressure"`
	MaxPressureBar  float64    `json:"max_pressure_bar"`
	RatingAbsolute  bool       `json:"rating_absolute"`
	MinimumInlet    unit.Typed `json:"minimum_inlet,omitempty"`
	MinimumInletBar float64    `json:"minimum_inlet_bar"`
	Mode            string     `json:"mode"`
	Flow            unit.Typed `json:"flow,omitempty"`
	FlowLMin        float64    `json:"flow_l_min"`
	Vented          bool       `json:"vented"`
	Body            string     `json:"body,omitempty"`
	LastGas         string     `json:"last_gas,omitempty"`
	CheckDueOn      unit.Date  `json:"check_due_on,omitempty"`
	DueAfterUses    *int64     `json:"due_after_uses,omitempty"`
	OutOfService    bool       `json:"out_of_service"`
	Place           string     `json:"place,omitempty"`
	Note            string     `json:"note,omitempty"`
	Service
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
	if o.Adapter != nil {
		o.Adapter.check(c, o.InletListed)
	}
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
	c.uses("due_after_uses", o.DueAfterUses)
	place := c.known(ctx, "place", "place", &o.Place, false)
	c.note("note", &o.Note)
	o.MaxPressureBar, o.MinimumInletBar, o.FlowLMin = rating.Bar(), minimum.Bar(), flow.LitresPerMinute()
	return projection{row: &models.Regulator{
		Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, Inlet: o.InletListed, MaxPressure: rating, MinimumInlet: minimum,
		Mode: o.Mode, Flow: flow, Body: o.Body, PlaceID: place, ServicedAt: o.since(c, o.LastGas),
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
	const inlet, gas, belonging = "Inlet", "Flow", "Tee, rating and adapter"
	return []FormField{
		codeField,
		nameField,
		{Name: "inlet", Label: "Inlet", Hint: "The outlet that the regulator itself takes.", Kind: Text, Options: outletOptions(), Required: true, Group: inlet},
		{Name: "max_pressure", Label: "Rated inlet pressure", Hint: "As stamped on it.", Kind: Quantity, Units: pressureUnits, Required: true, Group: inlet},
		{Name: "minimum_inlet", Label: "Minimum inlet pressure", Hint: "Below it the flow is not as rated. Empty: none.", Kind: Quantity, Units: pressureUnits, Group: inlet},
		{Name: "mode", Label: "Mode", Hint: "Fixed flow, or on the demand of a pump.", Kind: Select, Options: []string{FixedFlow, DemandFlow}, Required: true, Group: gas},
		{Name: "flow", Label: "Flow", Hint: "Needed for fixed flow.", Kind: Quantity, Units: flowUnits, Group: gas},
		{Name: "body", Label: "Body", Hint: "The wetted material.", Kind: Text, Options: bodies, Group: gas},
		{Name: "vented", Label: "An open tee behind it", Hint: "What a pump does not take goes off through it.", Kind: Checkbox, Group: belonging},
		{Name: "rating_absolute", Label: "Its rating is an absolute maximum", Hint: "It then has to cover the pressure in the heat, not only that of the fill at 21 °C.", Kind: Checkbox, Group: belonging},
		{Name: "adapter.from", Label: "Its adapter takes", Hint: "Only a supplier-made one: the outlet of the cylinder. Empty: there is none.", Kind: Select, Options: adapted, Group: belonging},
		{Name: "adapter.to", Label: "The adapter ends in", Hint: "The regulator's own inlet.", Kind: Select, Options: adapted, Group: belonging},
		{Name: "adapter.max_pressure", Label: "Rated pressure of the adapter", Hint: "As stamped on it.", Kind: Quantity, Units: pressureUnits, Group: belonging},
		lastGasField,
		servicedField,
		checkDueField,
		dueAfterUsesField,
		outOfServiceField,
		placeField,
		noteField,
	}
}

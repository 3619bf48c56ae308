package catalogue

import (
	"context"
	"fmt"
	"slices"

	"spanroom/internal/fit"
	"spanroom/internal/unit"
	"spanroom/models"
)

// Model is a type of gas detector: its channels, how gas comes to them, and what its manual says of other gases.
type Model struct {
	Code                string             `json:"code"`
	Name                string             `json:"name,omitempty"`
	Version             int64              `json:"version"`
	Sampling            string             `json:"sampling,omitempty"`
	FlowMin             unit.Typed         `json:"flow_min,omitempty"`
	FlowMax             unit.Typed         `json:"flow_max,omitempty"`
	Flow                unit.Typed         `json:"flow,omitempty"` // the one figure of a manual that gives no range
	PumpFlow            unit.Typed         `json:"pump_flow,omitempty"`
	Vent                string             `json:"vent,omitempty"`
	ZeroGas             string             `json:"zero_gas,omitempty"`
	SetValuesAdjustable bool               `json:"set_values_adjustable"`
	Connected           bool               `json:"connected"` // its alarms reach somebody far away
	Channels            []Channel          `json:"channels,omitempty"`
	CrossSensitivities  []CrossSensitivity `json:"cross_sensitivities,omitempty"`
	Reasons             map[string]string  `json:"reasons,omitempty"`
	Manual              string             `json:"manual,omitempty"`
	Note                string             `json:"note,omitempty"`
}

// The gases that a model is zeroed with.
const (
	zeroAir      = "air"
	zeroNitrogen = "nitrogen"
)

var (
	samplings = []string{string(fit.Diffusion), string(fit.Pumped)}
	zeroGases = []string{zeroAir, zeroNitrogen}
)

func (o *Model) head() head { return head{"model", &o.Code, &o.Name, &o.Version} }

func (o *Model) check(ctx context.Context, c *checker) projection {
	c.given(o.Reasons)
	c.oneOfOrNone("sampling", &o.Sampling, samplings...)
	o.flows(c)
	c.text("vent", &o.Vent)
	c.oneOfOrNone("zero_gas", &o.ZeroGas, zeroGases...)
	o.channels(ctx, c)
	o.crossSensitivities(ctx, c)
	o.reasonIsNew(c)
	c.text("manual", &o.Manual)
	c.note("note", &o.Note)
	return projection{row: &models.InstrumentModel{Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version}}
}

// flows checks what the manual says of flow: a range or one figure, and the rate of a pump.
func (o *Model) flows(c *checker) {
	least, most := quantity(c, "flow_min", &o.FlowMin, unit.ParseFlow), quantity(c, "flow_max", &o.FlowMax, unit.ParseFlow)
	one := quantity(c, "flow", &o.Flow, unit.ParseFlow)
	pump := quantity(c, "pump_flow", &o.PumpFlow, unit.ParseFlow)
	switch {
	case most > 0 && least > most:
		c.wrong.Add("flow_min", fmt.Sprintf("the least flow, %s, is above the most, %s", o.FlowMin, o.FlowMax), "check both figures and their units")
	case one > 0 && (one < least || most > 0 && one > most):
		c.wrong.Add("flow", fmt.Sprintf("%s is outside the range of the manual", o.Flow), "give the range, or the one figure of a manual that has no range")
	}
	if pump > 0 && o.Sampling != string(fit.Pumped) {
		c.wrong.Add("pump_flow", "only a pumped instrument has the rate of a pump", `choose the sampling "pumped", or leave the rate out`)
	}
}

// channels checks each of them, and that findings can tell them apart.
func (o *Model) channels(ctx context.Context, c *checker) {
	labels, components := map[string]bool{}, map[string]bool{}
	for i := range o.Channels {
		ch, field := &o.Channels[i], fmt.Sprintf("channels.%d.", i)
		ch.check(ctx, c, field)
		mark := field + "name"
		if ch.Name == "" && components[ch.Component] {
			mark = field + "component"
		}
		if ch.label() != "" && labels[ch.label()] {
			c.wrong.Add(mark, fmt.Sprintf("the channel %q is listed more than once", clip(ch.label())), "give each a name of its own, as the display has it, or take one out")
		}
		labels[ch.label()], components[ch.Component] = true, true
	}
}

// reasonIsNew does not let the reason of an earlier version answer for a factor that it was not given for.
func (o *Model) reasonIsNew(c *checker) {
	if c.before == "" || o.Reasons["R19"] == "" {
		return
	}
	var was Model
	if err := decode("model", c.before, &was); err != nil {
		c.broken = err
		return
	}
	before := was.factors()
	isNew := func(factor string) bool { return !slices.Contains(before, factor) }
	if o.Reasons["R19"] == was.Reasons["R19"] && slices.ContainsFunc(o.factors(), isNew) {
		c.reasons = nil
	}
}

// factors says which factors the model has, as texts that can be compared.
func (o *Model) factors() []string {
	var all []string
	for _, ch := range o.Channels {
		if printed, has := ch.printed(); has {
			all = append(all, fmt.Sprint(ch.Component, " ", ch.ShownGas, " ", printed.Value, " ", printed.Reading))
		}
	}
	return all
}

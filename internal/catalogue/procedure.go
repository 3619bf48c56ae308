package catalogue

import (
	"context"
	"fmt"

	"spanroom/internal/unit"
	"spanroom/models"
)

// Procedure is a way of testing an instrument and the gas that it takes: flow for a duration each test, purge and
// conditioning each session.
type Procedure struct {
	Code          string       `json:"code"`
	Name          string       `json:"name,omitempty"`
	Version       int64        `json:"version"`
	Purpose       string       `json:"purpose"`
	Blend         string       `json:"blend,omitempty"`
	Step          *int64       `json:"step,omitempty"` // its place in the order of tests
	Flow          unit.Typed   `json:"flow"`
	FlowLMin      float64      `json:"flow_l_min"`
	Duration      unit.Typed   `json:"duration"`
	DurationS     int64        `json:"duration_s"`
	Purge         unit.Typed   `json:"purge,omitempty"`
	PurgeL        float64      `json:"purge_l"`
	Conditioning  unit.Typed   `json:"conditioning,omitempty"`
	ConditioningS int64        `json:"conditioning_s"`
	TestL         float64      `json:"test_l"`
	SessionL      float64      `json:"session_l"`
	Consumables   []Consumable `json:"consumables,omitempty"`
	Manual        string       `json:"manual,omitempty"`
	Note          string       `json:"note,omitempty"`
}

// Consumable is what one test uses up of an item: pieces, or metres of tubing.
type Consumable struct {
	Item  string  `json:"item"`
	Count float64 `json:"count"`
}

// The purposes that a test has.
const (
	Zero        = "zero"
	Bump        = "bump"
	Check       = "check"
	Calibration = "calibration"
	SampleLine  = "line"
)

// Purposes lists the purposes that a test has.
func Purposes() []string { return []string{Zero, Bump, Check, Calibration, SampleLine} }

func (o *Procedure) head() head { return head{"procedure", &o.Code, &o.Name, &o.Version} }

func (o *Procedure) check(ctx context.Context, c *checker) projection {
	c.oneOf("purpose", &o.Purpose, Purposes()...)
	blend := c.known(ctx, "blend", "blend", &o.Blend, false)
	flow := needed(c, "flow", &o.Flow, unit.ParseFlow)
	duration := needed(c, "duration", &o.Duration, unit.ParseSeconds)
	purge := quantity(c, "purge", &o.Purge, unit.ParseVolume)
	conditioning := quantity(c, "conditioning", &o.Conditioning, unit.ParseSeconds)
	c.limit("step", o.Step, 1, 99, "")
	o.consumables(ctx, c)
	c.text("manual", &o.Manual)
	c.note("note", &o.Note)
	o.FlowLMin, o.DurationS, o.PurgeL, o.ConditioningS = flow.LitresPerMinute(), int64(duration), purge.Litres(), int64(conditioning)
	o.TestL = o.FlowLMin * duration.Minutes()
	o.SessionL = o.PurgeL + o.FlowLMin*conditioning.Minutes()
	return projection{row: &models.Procedure{
		Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, Purpose: o.Purpose, BlendID: blend,
		Flow: flow, Duration: duration, Purge: purge, Conditioning: conditioning,
	}}
}

func (o *Procedure) consumables(ctx context.Context, c *checker) {
	seen := map[string]bool{}
	for i := range o.Consumables {
		line, field := &o.Consumables[i], fmt.Sprintf("consumables.%d.", i)
		c.consumable(ctx, field+"item", &line.Item)
		c.number(field+"count", line.Count, 0.001, 1000, "a test")
		c.once(field+"item", "item", line.Item, seen)
	}
}

// consumable is known for an item that is not gas: what a test takes of gas follows from its flow.
func (c *checker) consumable(ctx context.Context, field string, code *string) {
	if c.known(ctx, field, "item", code, true) == nil {
		return
	}
	item, err := c.store.ItemByCode(ctx, *code)
	if err != nil {
		c.broken = err
		return
	}
	if item.Kind == Gas {
		c.wrong.Add(field, *code+" is gas, which a test uses by its flow and duration", "choose an item of another kind, or take the line out")
	}
}

func procedureForm() []FormField {
	const gas, use = "Gas", "What it uses up"
	return []FormField{
		codeField,
		nameField,
		{Name: "purpose", Label: "Purpose", Hint: "A bump shows that gas reaches the sensor; a check compares; a calibration adjusts.", Kind: Select, Options: Purposes(), Required: true},
		{Name: "step", Label: "Step", Hint: "Its place where several tests follow each other, the first is 1. Empty: zero first, the most adsorbing gas last.", Kind: Number},
		{Name: "blend", Label: "Blend", Hint: "The gas that it is for. Empty: any.", Kind: Select, Choices: "blend", Group: gas},
		{Name: "flow", Label: "Flow", Hint: "What the test draws.", Kind: Quantity, Units: flowUnits, Required: true, Group: gas},
		{Name: "duration", Label: "Duration", Hint: "Of one test.", Kind: Quantity, Units: durationUnits, Required: true, Group: gas},
		{Name: "purge", Label: "Purge", Hint: "Of regulator and tubing, once a session.", Kind: Quantity, Units: volumeUnits, Group: gas},
		{Name: "conditioning", Label: "Conditioning", Hint: "Flow before the first test, for gases that cling, once a session.", Kind: Quantity, Units: durationUnits, Group: gas},
		{Name: "consumables", Label: "Consumables", Hint: "For each test, such as 0.05 of a filter that lasts 20 tests.", Kind: Rows, Group: use, One: "Consumable", Rows: []FormField{
			{Name: "item", Label: "Item", Kind: Select, Choices: "item", Required: true},
			{Name: "count", Label: "For each test", Hint: "Pieces, or metres.", Kind: Number, Required: true},
		}},
		{Name: "manual", Label: "Manual", Hint: "Where it is written: title, revision, page.", Kind: Text, Group: use},
		noteField,
	}
}

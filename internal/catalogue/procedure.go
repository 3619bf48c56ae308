package catalogue

import (
	"context"

	"spanroom/internal/unit"
	"spanroom/models"
)

// Procedure is a way of testing an instrument and the gas that it takes: flow for a duration each test, purge and
// conditioning each session.
type Procedure struct {
	Code          string     `json:"code"`
	Name          string     `json:"name,omitempty"`
	Version       int64      `json:"version"`
	Purpose       string     `json:"purpose"`
	Blend         string     `json:"blend,omitempty"`
	Flow          unit.Typed `json:"flow"`
	FlowLMin      float64    `json:"flow_l_min"`
	Duration      unit.Typed `json:"duration"`
	DurationS     int64      `json:"duration_s"`
	Purge         unit.Typed `json:"purge,omitempty"`
	PurgeL        float64    `json:"purge_l"`
	Conditioning  unit.Typed `json:"conditioning,omitempty"`
	ConditioningS int64      `json:"conditioning_s"`
	TestL         float64    `json:"test_l"`
	SessionL      float64    `json:"session_l"`
	Note          string     `json:"note,omitempty"`
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
	c.note("note", &o.Note)
	o.FlowLMin, o.DurationS, o.PurgeL, o.ConditioningS = flow.LitresPerMinute(), int64(duration), purge.Litres(), int64(conditioning)
	o.TestL = o.FlowLMin * duration.Minutes()
	o.SessionL = o.PurgeL + o.FlowLMin*conditioning.Minutes()
	return projection{row: &models.Procedure{
		Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, Purpose: o.Purpose, BlendID: blend,
		Flow: flow, Duration: duration, Purge: purge, Conditioning: conditioning,
	}}
}

var procedureForm = []FormField{
	codeField,
	nameField,
	{Name: "purpose", Label: "Purpose", Hint: "A bump shows that gas reaches the sensor; a check compares; a calibration adjusts.", Kind: Select, Options: Purposes(), Required: true},
	{Name: "blend", Label: "Blend", Hint: "The gas that it is for. Empty: any.", Kind: Select, Choices: "blend"},
	{Name: "flow", Label: "Flow", Hint: "What the test draws.", Kind: Quantity, Units: flowUnits, Required: true},
	{Name: "duration", Label: "Duration", Hint: "Of one test.", Kind: Quantity, Units: durationUnits, Required: true},
	{Name: "purge", Label: "Purge", Hint: "Of regulator and tubing, once a session.", Kind: Quantity, Units: volumeUnits},
	{Name: "conditioning", Label: "Conditioning", Hint: "Flow before the first test, for gases that cling, once a session.", Kind: Quantity, Units: durationUnits},
	noteField,
}

package catalogue

import (
	"context"
	"math"
	"strings"

	"spanroom/internal/fit"
	"spanroom/models"
)

// Component is a gas that occurs in blends, with the site's limits on its stability.
type Component struct {
	Code               string   `json:"code"`
	Name               string   `json:"name,omitempty"`
	Version            int64    `json:"version"`
	Formula            string   `json:"formula,omitempty"`
	CapMonths          *int64   `json:"cap_months,omitempty"`
	FallbackMonths     *int64   `json:"fallback_months,omitempty"`
	OpenedDays         *int64   `json:"opened_days,omitempty"`
	Adsorbs            *bool    `json:"adsorbs"` // as the gas is known to, where the site does not say
	MakingTolerancePct *float64 `json:"making_tolerance_pct,omitempty"`
	Note               string   `json:"note,omitempty"`
}

func (o *Component) head() head { return head{"component", &o.Code, &o.Name, &o.Version} }

func (o *Component) check(_ context.Context, c *checker) projection {
	c.text("formula", &o.Formula)
	if o.Formula == "" {
		o.Formula = o.Code
	}
	if strings.ContainsAny(o.Formula, " \t") {
		c.wrong.Add("formula", "the formula has spaces in it", `write it like "H2S" or "nC5H12"`)
	}
	if o.Adsorbs == nil {
		known := fit.Adsorbs(o.Formula)
		o.Adsorbs = &known
	}
	c.limit("cap_months", o.CapMonths, 0, 240, "months")
	c.limit("fallback_months", o.FallbackMonths, 0, 240, "months")
	c.limit("opened_days", o.OpenedDays, 0, 3650, "days")
	c.share("making_tolerance_pct", o.MakingTolerancePct, 0, 50, "%")
	c.note("note", &o.Note)
	return projection{row: &models.Component{
		Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, Formula: o.Formula, Adsorbs: *o.Adsorbs,
		CapMonths: o.CapMonths, FallbackMonths: o.FallbackMonths, OpenedDays: o.OpenedDays,
		MakingTolerance: hundredths(o.MakingTolerancePct),
	}}
}

func hundredths(percent *float64) *int64 {
	if percent == nil {
		return nil
	}
	n := int64(math.Round(*percent * 100))
	return &n
}

var componentForm = []FormField{
	codeField,
	{Name: "name", Label: "Name", Hint: "In words, such as hydrogen sulfide.", Kind: Text},
	{Name: "formula", Label: "Formula", Hint: "Such as H2S. The code stands for it where it is left out.", Kind: Text},
	{Name: "cap_months", Label: "Cap, months", Hint: "The longest life from fill or assay. It only ever shortens the supplier's date.", Kind: Number},
	{Name: "fallback_months", Label: "Fallback, months", Hint: "The life where there is no supplier's date, for bump tests only.", Kind: Number},
	{Name: "opened_days", Label: "Opened cap, days", Hint: "The life after the first opening. Empty: none.", Kind: Number},
	{Name: "adsorbs", Label: "Strongly adsorbing", Hint: "It clings to walls: higher minimum pressure and wider making tolerance. Empty: as the gas is known.", Kind: Select, Options: []string{"true", "false"}},
	{Name: "making_tolerance_pct", Label: "Making tolerance, %", Hint: "How far a certified value may lie from the nominal one. Empty: as in the settings.", Kind: Number},
	noteField,
}

package catalogue

import (
	"context"

	"spanroom/models"
)

// Supplier is who we buy from, with what is known of the lead time.
type Supplier struct {
	Code           string `json:"code"`
	Name           string `json:"name,omitempty"`
	Version        int64  `json:"version"`
	LeadTimeDays   int64  `json:"lead_time_days"`
	LeadTimeSDDays int64  `json:"lead_time_sd_days"`
	ClaimDays      *int64 `json:"claim_days,omitempty"`
	Note           string `json:"note,omitempty"`
}

func (o *Supplier) head() head { return head{"supplier", &o.Code, &o.Name, &o.Version} }

func (o *Supplier) check(_ context.Context, c *checker) projection {
	c.whole("lead_time_days", o.LeadTimeDays, 0, 730, "days")
	c.whole("lead_time_sd_days", o.LeadTimeSDDays, 0, 365, "days")
	c.limit("claim_days", o.ClaimDays, 0, 365, "days")
	c.note("note", &o.Note)
	return projection{row: &models.Supplier{
		Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, LeadDays: o.LeadTimeDays, LeadSDDays: o.LeadTimeSDDays,
	}}
}

var supplierForm = []FormField{
	codeField,
	nameField,
	{Name: "lead_time_days", Label: "Lead time, days", Hint: "From order to arrival, as usual. Empty: not known, and the plan asks for it.", Kind: Number, Unset: "0"},
	{Name: "lead_time_sd_days", Label: "Spread of the lead time, days", Hint: "Standard deviation: two deliveries in three come within it.", Kind: Number},
	{Name: "claim_days", Label: "Days to claim", Hint: "How long after arrival a short or damaged delivery can be claimed.", Kind: Number},
	noteField,
}

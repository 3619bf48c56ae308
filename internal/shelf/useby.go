// Package shelf decides until when a cylinder's gas may be trusted and which cylinder is taken first. It reads no clock: the day is a parameter.
package shelf

import (
	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// Limit is what the site knows about the stability of one component; nil is not known, or not set.
type Limit struct {
	CapMonths      *int // the longest life from fill or assay; it may only shorten a supplier's date
	FallbackMonths *int // the life where there is no supplier's date
	OpenedDays     *int // the life after the first opening
}

// Term names what limits a use-by.
type Term string

// The terms in their order of precedence: of two that give the same date, the earlier one is named.
const (
	Certificate Term = "certificate"
	Label       Term = "label"
	Component   Term = "component"
	Opened      Term = "opened"
	Store       Term = "store"
	Unknown     Term = "unknown"
)

// Terms is everything that a use-by depends on; an empty date is one that nobody gave.
type Terms struct {
	Components           []string // all of the blend, its balance included
	Limits               map[string]Limit
	CertificateExpiresOn unit.Date
	LabelExpiresOn       unit.Date
	FilledOn             unit.Date
	AssayedOn            unit.Date
	OpenedOn             unit.Date
	StoreCapMonths       *int
}

// UseBy is the site's date, what limits it, and what it allows.
type UseBy struct {
	ExpiresOn          unit.Date // "" when undated
	GovernedBy         Term
	Component          string   // the first of Components
	Components         []string // all whose limit gives this date
	Words              string   // "limited by Cl2: site cap 8 months"
	SupplierExpiresOn  unit.Date
	CalibrationAllowed bool // without a supplier's date the gas is for bump tests only
	Undated            bool
	Findings           []problem.Finding
}

// UseBy gives the earliest date of all terms that are present (rule R7).
func (t Terms) UseBy() UseBy {
	u := UseBy{SupplierExpiresOn: t.supplier(), GovernedBy: Unknown, Findings: t.findings()}
	if reason := t.undated(); reason != "" {
		u.Undated, u.Words = true, "undated: "+reason
		return u
	}
	u.CalibrationAllowed = u.SupplierExpiresOn != ""
	for _, b := range t.Bounds() {
		if u.ExpiresOn == "" || b.On < u.ExpiresOn {
			u.ExpiresOn, u.GovernedBy, u.Components, u.Words = b.On, b.Term, b.Components, b.Words
		}
	}
	if len(u.Components) > 0 {
		u.Component = u.Components[0]
	}
	return u
}

// IfOpenedOn gives the terms of a sealed cylinder that is opened on a day; one that is open already keeps its own.
func (t Terms) IfOpenedOn(day unit.Date) Terms {
	if t.OpenedOn == "" {
		t.OpenedOn = day
	}
	return t
}

// DaysLeft counts the days from today to a use-by: 0 is the last day. Ask Undated before it.
func DaysLeft(expires, today unit.Date) int { return today.DaysUntil(expires) }

// Expired tells whether a use-by has passed on a day. With through the date itself is still good, else only the days before it are.
// No date has not passed: an undated lot is held for being undated.
func Expired(expires, day unit.Date, through bool) bool {
	if expires == "" {
		return false
	}
	return day > expires || day == expires && !through
}

func (t Terms) supplier() unit.Date {
	return unit.EarlierOf(t.CertificateExpiresOn, t.LabelExpiresOn)
}

// start is the day from which the site's months count: the assay where it is known, else the fill.
func (t Terms) start() unit.Date {
	if t.AssayedOn != "" {
		return t.AssayedOn
	}
	return t.FilledOn
}

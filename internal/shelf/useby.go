// Package shelf decides until when a cylinder's gas may be trusted and which cylinder is taken first. It reads no clock: the day is a parameter.
package shelf

import (
	"fmt"

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

// bound is the date that one term gives; without a date the term is absent.
type bound struct {
	term       Term
	on         unit.Date
	components []string
	words      string
}

// UseBy gives the earliest date of all terms that are present (rule R7).
func (t Terms) UseBy() UseBy {
	u := UseBy{SupplierExpiresOn: t.supplier(), GovernedBy: Unknown, Findings: t.findings()}
	if reason := t.undated(); reason != "" {
		u.Undated, u.Words = true, "undated: "+reason
		return u
	}
	u.CalibrationAllowed = u.SupplierExpiresOn != ""
	for _, b := range []bound{
		{term: Certificate, on: t.CertificateExpiresOn, words: "limited by the certificate"},
		{term: Label, on: t.LabelExpiresOn, words: "limited by the label"},
		t.stability(), t.opened(), t.store(),
	} {
		if b.on != "" && (u.ExpiresOn == "" || b.on < u.ExpiresOn) {
			u.ExpiresOn, u.GovernedBy, u.Components, u.Words = b.on, b.term, b.components, b.words
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

// stability counts the caps under a supplier's date, and the fallbacks where there is none.
func (t Terms) stability() bound {
	pick, what, only := capMonths, "site cap", ""
	if t.supplier() == "" {
		pick, what, only = fallbackMonths, "fallback", ", for bump tests only"
	}
	least, components := t.least(pick)
	if components == nil {
		return bound{}
	}
	return bound{Component, t.start().AddMonths(least), components, fmt.Sprintf("limited by %s: %s %s%s", list(components), what, count(least, "month"), only)}
}

func (t Terms) opened() bound {
	least, components := t.least(openedDays)
	if components == nil {
		return bound{}
	}
	return bound{Opened, t.OpenedOn.AddDays(least), components, fmt.Sprintf("limited by %s: %s after opening", list(components), count(least, "day"))}
}

func (t Terms) store() bound {
	if t.StoreCapMonths == nil {
		return bound{}
	}
	return bound{term: Store, on: t.start().AddMonths(*t.StoreCapMonths), words: "limited by the store: cap " + count(*t.StoreCapMonths, "month")}
}

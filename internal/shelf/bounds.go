package shelf

import (
	"fmt"

	"spanroom/internal/unit"
)

// Bound is the date that one term gives, and the day from which the term counts, "" where nobody knows it.
type Bound struct {
	Term       Term
	From, On   unit.Date
	Components []string // whose limit it is
	Words      string   // "limited by Cl2: site cap 8 months"
}

// Bounds gives every term that is present, in the order of precedence. Of what UseBy calls undated they date nothing.
func (t Terms) Bounds() []Bound {
	var bounds []Bound
	for _, b := range []Bound{
		{Term: Certificate, From: t.start(), On: t.CertificateExpiresOn, Words: "limited by the certificate"},
		{Term: Label, From: t.start(), On: t.LabelExpiresOn, Words: "limited by the label"},
		t.stability(), t.opened(), t.store(),
	} {
		if b.On != "" {
			bounds = append(bounds, b)
		}
	}
	return bounds
}

// stability counts the caps under a supplier's date, and the fallbacks where there is none.
func (t Terms) stability() Bound {
	pick, what, only := capMonths, "site cap", ""
	if t.supplier() == "" {
		pick, what, only = fallbackMonths, "fallback", ", for bump tests only"
	}
	least, components := t.least(pick)
	if components == nil {
		return Bound{}
	}
	words := fmt.Sprintf("limited by %s: %s %s%s", list(components), what, count(least, "month"), only)
	return Bound{Component, t.start(), t.start().AddMonths(least), components, words}
}

func (t Terms) opened() Bound {
	least, components := t.least(openedDays)
	if components == nil {
		return Bound{}
	}
	words := fmt.Sprintf("limited by %s: %s after opening", list(components), count(least, "day"))
	return Bound{Opened, t.OpenedOn, t.OpenedOn.AddDays(least), components, words}
}

func (t Terms) store() Bound {
	if t.StoreCapMonths == nil {
		return Bound{}
	}
	return Bound{Term: Store, From: t.start(), On: t.start().AddMonths(*t.StoreCapMonths), Words: "limited by the store: cap " + count(*t.StoreCapMonths, "month")}
}

package handlers

import (
	"strings"
	"testing"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
)

const fillFirst = "Fill the catalogue first"

func TestAnEmptyStoreSaysWhereToBegin(t *testing.T) {
	h := newHouse(t, morning)
	for role, pages := range map[auth.Role][]string{
		auth.Supervisor: {"/", "/receipts/new", "/checkouts/new", "/reorder"}, auth.Clerk: {"/", "/receipts/new", "/checkouts/new", "/reorder"},
		auth.Technician: {"/", "/checkouts/new"}, auth.Viewer: {"/", "/reorder"},
	} {
		for _, path := range pages {
			shows(t, string(role)+" at "+path, h.page(role, path).Text, fillFirst)
		}
	}
	shows(t, "for who may", h.page(auth.Supervisor, "/").Text, `<a href="/settings">Settings</a>`, `<a href="/suppliers/new">Suppliers</a>: from whom things come</li>`,
		`<a href="/components">Components</a>: the gases; review the limits that are proposed; 37 there</li>`)
	shows(t, "for who may some", h.page(auth.Purchaser, "/").Text, `<a href="/items/new">Items</a>`, `<a href="/blends">Blends</a>: what is mixed in a cylinder; ask a supervisor`)
	shows(t, "for who may not", h.page(auth.Viewer, "/").Text, "ask a purchaser or a supervisor", `<a href="/regulators">Regulators</a>: what goes onto a cylinder; ask a clerk or a supervisor`)

	h.must(auth.Supervisor, "POST", "/suppliers", `{"code":"northbank","lead_time_days":42}`)
	shows(t, "after the first step", h.page(auth.Supervisor, "/").Text, `<a href="/suppliers">Suppliers</a>: from whom things come; 1 there`)
	if strings.Contains(h.page(auth.Supervisor, "/holds").Text, fillFirst) {
		t.Error("it stands on a page that does without")
	}
	h.must(auth.Supervisor, "POST", "/items", `{"code":"FILTER","kind":"filter"}`)
	if strings.Contains(h.page(auth.Supervisor, "/").Text, fillFirst) {
		t.Error("it stands there when the catalogue has begun")
	}
}

func TestTheBeginningNamesEveryNounOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range startOrder {
		if _, known := catalogue.NounAt(s.plural); !known || seen[s.plural] {
			t.Errorf("%s is no noun, or stands there twice", s.plural)
		}
		seen[s.plural] = true
	}
	for _, n := range catalogue.Nouns() {
		if !seen[n.Plural] {
			t.Errorf("%s is not among them", n.Plural)
		}
	}
}

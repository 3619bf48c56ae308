package handlers

import (
	"fmt"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
)

// everyPageByEveryRole opens every page of the table of routes as everybody who may see it. What two roles see alike is looked
// at for the first; that the others may not see it is the matter of TestEveryRouteByEveryRole.
func everyPageByEveryRole(t *testing.T, b *browser) {
	h, address := b.house(t)
	pages := h.pages()
	seen := map[string]string{}
	for _, role := range auth.Roles() {
		v := b.visit(t, address, phone)
		v.carry(h.session(role))
		for _, p := range pages {
			if p.deed != "" && !auth.Can(role, p.deed) {
				continue
			}
			where := fmt.Sprintf("%s for a %s", p.path, role)
			reply := h.page(role, p.path)
			if reply.Status == http.StatusSeeOther {
				reply = h.page(role, reply.Header.Get("Location"))
			}
			if reply.Status != http.StatusOK {
				t.Errorf("%s: status %d", where, reply.Status)
			}
			look := likeness(reply.Text)
			if seen[look] != "" && p.path != "/" {
				continue
			}
			seen[look] = where
			v.open(p.path)
			v.look(where)
		}
	}
	if len(seen) < len(pages) {
		t.Errorf("%d different pages of %d", len(seen), len(pages))
	}
}

var once = regexp.MustCompile(`name="(csrf|key)" value="[^"]*"`)

// likeness is a page without its head and what differs from one opening to the next.
func likeness(page string) string {
	_, page, _ = strings.Cut(page, "<main")
	return once.ReplaceAllString(page, "")
}

// example is a page of a route that has something on it.
type example struct {
	path string
	deed auth.Deed
}

// pages lists the pages of the routes with names of the demo in the place of the parameters.
func (h *house) pages() []example {
	h.t.Helper()
	var pages []example
	for _, r := range h.app.routes {
		if r.method != http.MethodGet || strings.HasPrefix(r.path, "/api/") || r.path == "/reorder.xlsx" || strings.HasPrefix(r.path, "/files/") {
			continue
		}
		for _, path := range h.examples(r.path) {
			pages = append(pages, example{path, r.deed})
		}
	}
	if len(pages) < 50 {
		h.t.Fatalf("there are %d pages", len(pages))
	}
	return pages
}

// furnished are the addresses of pages that show more with something in the query; the others are opened as they stand.
var furnished = map[string][]string{
	"/receipts/new":  {"/receipts/new", "/receipts/new?supplier=northbank&item=Q4", "/receipts/new?supplier=northbank&item=TUBE-FEP"},
	"/checkouts/new": {"/checkouts/new", "/checkouts/new?round=ashbeck", "/checkouts/new?item=Q4&tests.0.procedure=bump-q4&tests.0.count=9999"},
	"/checkouts":     {"/checkouts?open=true", "/checkouts?limit=5"},
	"/cylinders":     {"/cylinders?limit=5", "/cylinders?q=nothing"},
	"/ledger":        {"/ledger?limit=5"},
	"/receipts":      {"/receipts?limit=5"},
	"/holds":         {"/holds"},
	"/settings":      {"/settings", "/settings?version=1"},
	"/reorder":       {"/reorder", "/reorder?item=Q4"},
	"/calculators": {"/calculators", "/calculators?contents.item=Q4&contents.pressure=40+bar&contents.flow=0.3+L/min&contents.time=60+s",
		"/calculators?lel.gas=C3H8&lel.amount=0.85+%25vol&lel.basis=IEC60079-20-1:2010&lel.shown=nC6H14&lel.factor=1.15&lel.factor_reading=multiplier",
		"/calculators?use_by.item=CL&use_by.filled_on=2026-08-10&use_by.label_expires_on=2027-08-10"},
}

func (h *house) examples(path string) []string {
	h.t.Helper()
	if !strings.Contains(path, ":") {
		if known := furnished[path]; known != nil {
			return known
		}
		if path == "/scan" {
			return []string{"/scan?text=" + h.first("/cylinders", "tag")}
		}
		return []string{path}
	}
	switch noun, rest, _ := strings.Cut(strings.TrimPrefix(path, "/"), "/:"); {
	case strings.HasPrefix(rest, "tag"):
		return []string{"/cylinders/" + h.first("/cylinders?stage=opened", "tag"), "/cylinders/" + h.first("/cylinders?place=QUAR", "tag")}
	case noun == "checkouts" && rest == "id":
		return []string{"/checkouts/" + h.first("/checkouts?open=true", "id"), "/checkouts/" + h.first("/checkouts?after=2", "id")}
	case noun == "checkouts":
		return []string{strings.Replace(path, ":id", h.first("/checkouts?open=true", "id"), 1)}
	case noun == "lots":
		return []string{"/lots/1", "/lots/2"}
	case noun == "receipts":
		return []string{strings.Replace(path, ":id", h.first("/receipts", "receipt"), 1)}
	default:
		if _, known := catalogue.NounAt(noun); !known {
			h.t.Fatalf("no example for %s", path)
		}
		return []string{strings.Replace(path, ":code", h.first("/"+noun, "code"), 1)}
	}
}

// first gives a member of the first row of a list.
func (h *house) first(path, member string) string {
	h.t.Helper()
	rows := h.must(auth.Supervisor, "GET", path, "")["rows"].([]any)
	if len(rows) == 0 {
		h.t.Fatalf("%s is empty", path)
	}
	return fmt.Sprint(rows[0].(map[string]any)[member])
}

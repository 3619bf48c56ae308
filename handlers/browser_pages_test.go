package handlers

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
)

// everyPageByEveryRole opens every page of the table of routes as everybody who may see it, and as those who may not.
func everyPageByEveryRole(t *testing.T, b *browser) {
	h, address := b.house(t)
	pages := h.pages()
	seen := map[string]bool{} // a page that two roles see alike is looked at for the first
	for _, role := range auth.Roles() {
		v := b.visit(t, address, phone)
		v.carry(h.session(role))
		for _, p := range pages {
			where := fmt.Sprintf("%s for a %s", p.path, role)
			status := v.open(p.path)
			if may := auth.Can(role, p.deed) || p.deed == ""; may != (status == http.StatusOK) || !may != (status == http.StatusForbidden) {
				t.Errorf("%s: status %d", where, status)
			}
			v.quiet(where)
			if look := say[string](v, likeness); !seen[look] {
				seen[look] = true
				v.narrow(where)
				v.accessible(where)
			}
		}
	}
}

// likeness is the page without what differs from one opening to the next.
const likeness = `document.body.innerHTML.replaceAll(/name="(csrf|key)" value="[^"]*"/g, "").replaceAll(document.querySelector(".who-name").textContent, "")`

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
		if r.method != http.MethodGet || strings.HasPrefix(r.path, "/api/") || r.path == "/reorder.xlsx" {
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
	"/reorder":       {"/reorder", "/reorder?item=Q4"},
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
		return []string{"/checkouts/" + h.first("/checkouts?open=true", "id"), "/checkouts/" + h.first("/checkouts", "id")}
	case noun == "checkouts":
		return []string{strings.Replace(path, ":id", h.first("/checkouts?open=true", "id"), 1)}
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

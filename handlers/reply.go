package handlers

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"net/http"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/views"
)

// show answers a read: JSON for a program, the page for a person.
func (a *app) show(c *fiber.Ctx, page string, answer any, err error) error {
	if err != nil {
		return err
	}
	if isAPI(c) {
		return c.JSON(answer)
	}
	return a.render(c, http.StatusOK, page, answer, nil)
}

// done answers a write: 201 for a program, on to the thing for a person.
func done(c *fiber.Ctx, to string, answer any) error {
	if isAPI(c) {
		return c.Status(http.StatusCreated).JSON(answer)
	}
	return c.Redirect(to, http.StatusSeeOther)
}

// form loads what a form page offers to choose from, and names the page.
type form func(c *fiber.Ctx) (page string, choices any, err error)

// write is the way of every act: read the order, let the room do it, answer; or give the form back with what was typed.
func write[O, A any](a *app, c *fiber.Ctx, do func(context.Context, auth.Act, O) (A, error), to func(A) string, f form) error {
	if showsOnly(c) {
		return a.again(c, f, waited)
	}
	order, err := read[O](c)
	if err != nil {
		return a.again(c, f, err)
	}
	answer, err := do(c.UserContext(), actOf(c), order)
	if err != nil {
		return a.again(c, f, err)
	}
	return done(c, to(answer), answer)
}

// given are the kinds of failure after which a form comes back; the others are not about what was typed.
var given = []problem.Kind{problem.Invalid, problem.Refused, problem.Conflict}

// again brings the form back with the person's own values, what is wrong with them, and a new idempotency key.
func (a *app) again(c *fiber.Ctx, f form, err error) error {
	var p *problem.Error
	if isAPI(c) || f == nil || !errors.As(err, &p) || !slices.Contains(given, p.Kind) {
		return err
	}
	page, choices, loadErr := f(c)
	if loadErr != nil {
		return loadErr
	}
	status, title := statuses[p.Kind], titles[p.Kind]
	if p == waited {
		status, title = http.StatusOK, "You were signed out"
	}
	return a.render(c, status, page, choices,
		viewOf(details{Title: title, Detail: p.Detail, Advice: p.Advice, Fields: p.Fields, Findings: p.Findings}))
}

// blankForm shows a form for the first time.
func (a *app) blankForm(f form) fiber.Handler {
	return func(c *fiber.Ctx) error {
		page, choices, err := f(c)
		return a.show(c, page, choices, err)
	}
}

func (a *app) render(c *fiber.Ctx, status int, page string, answer any, p *views.Problem) error {
	view := views.Page{
		Name: page, Path: c.Path(), Query: string(c.Request().URI().QueryString()), Key: newKey(), Notice: notice(c), Mark: queryText(c, "mark"),
		Title: titleOf(page, answer), Problem: p, Answer: answer, Now: a.Now(), Zone: a.Catalogue.Zone(c.UserContext()),
	}
	if person := personOf(c); person.ID != 0 {
		view.Person = &views.Person{Name: person.Name, Role: string(person.Role)}
		view.Nav = navigation(person.Role, c.Path())
		view.CSRF = auth.CSRF(sessionOf(c))
	}
	if isForm(c) {
		view.Typed = typed(c)
		delete(view.Typed, "password")
	}
	if sent, ok := answer.(sentByAddress); ok {
		view.Typed = sent.TypedFields()
	}
	var err error
	if view.Start, err = a.start(c, page); err != nil {
		return err
	}
	var out bytes.Buffer
	if err := a.Views.Render(&out, view); err != nil {
		return err
	}
	c.Set(fiber.HeaderCacheControl, "no-store")
	c.Type("html", "utf-8")
	return c.Status(status).Send(out.Bytes())
}

// sentByAddress is a page whose forms are sent by the address, so that it can be kept.
type sentByAddress interface{ TypedFields() map[string]string }

// notice is what a form that was sent wants said on the page that it leads to. Nobody else puts words into our pages.
func notice(c *fiber.Ctx) string {
	if site := c.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" {
		return ""
	}
	return queryText(c, "done")
}

// pageTitles are the headings of the pages whose answer does not say its own.
var pageTitles = map[string]string{
	"sign_in": "Sign in", "problem": "This did not work", "catalogue": "Catalogue", "desk": "Stores desk",
	"receive": "Goods in", "receipts": "Deliveries", "receipt": "Received", "labels": "Labels", "lot": "Lot",
	"cylinders": "Shelf", "cylinder": "Cylinder", "holds": "On hold", "ledger": "Ledger",
	"take": "Take", "check": "Check before taking", "checkout": "In use", "bring_back": "Bring back", "checkouts": "Out",
	"issue": "Hand out", "equipment": "Regulator sets", "consumables": "Consumables", "reorder": "Order table", "calculators": "Calculators", "reasons": "Reasons given",
}

// titled is an answer that says what its page is called.
type titled interface{ Title() string }

func titleOf(page string, answer any) string {
	if t, ok := answer.(titled); ok {
		return t.Title()
	}
	return pageTitles[page]
}

// navigation lists the ways on that a role has.
func navigation(role auth.Role, path string) []views.Link {
	var links []views.Link
	for _, way := range []struct {
		deed       auth.Deed
		href, text string
	}{
		{auth.Read, "/", "Stores desk"},
		{auth.Read, "/cylinders", "Shelf"},
		{auth.Receive, "/receipts/new", "Goods in"},
		{auth.Take, "/checkouts/new", "Take"},
		{auth.Issue, "/issues/new", "Hand out"},
		{auth.Read, "/equipment", "Regulator sets"},
		{auth.Read, "/due", "Monitors due"},
		{auth.Read, "/reorder", "Order table"},
		{auth.Read, "/calculators", "Calculators"},
		{auth.Read, "/catalogue", "Catalogue"},
		{auth.Read, "/ledger", "Ledger"},
	} {
		if auth.Can(role, way.deed) {
			here := path == way.href || way.href != "/" && strings.HasPrefix(path, way.href)
			links = append(links, views.Link{Href: way.href, Text: way.text, Here: here})
		}
	}
	return links
}

func newKey() string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails
	return hex.EncodeToString(b[:])
}

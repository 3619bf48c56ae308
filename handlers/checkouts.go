package handlers

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/stock"
	"spanroom/views"
)

// handsOut tells whether a role may hand a cylinder to somebody else.
func handsOut(r auth.Role) bool { return r == auth.Clerk || r == auth.Supervisor }

// checkoutsPage is a list of check-outs and what it was narrowed to.
type checkoutsPage struct {
	stock.CheckoutPage
	Open, Late bool
	Holder     string
}

func (a *app) checkouts(c *fiber.Ctx) error {
	after, limit, err := queryPage(c)
	if err != nil {
		return err
	}
	f := stock.CheckoutFilter{Open: c.Query("open") == "true", Late: c.Query("late") == "true", Holder: queryText(c, "holder"), After: after, Limit: limit}
	answer, err := a.Stock.Checkouts(c.UserContext(), f)
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	return a.show(c, "checkouts", checkoutsPage{answer, f.Open, f.Late, f.Holder}, nil)
}

// checkoutPage is the screen of a cylinder in use, and of bringing it back.
type checkoutPage struct {
	stock.Checkout
	MayLog     bool
	Procedures []catalogue.Choice
	Places     []catalogue.Choice
	Gauges     []string
	Emergency  string // the site's numbers
}

// Title is the heading of the page.
func (p checkoutPage) Title() string {
	if p.ReturnedAt != "" {
		return fmt.Sprintf("Outing of %s", p.Tag)
	}
	return fmt.Sprintf("In use: %s", p.Tag)
}

// Leaking tells whether a leak of the cylinder is suspected.
func (p checkoutPage) Leaking() bool { return leaking(p.OnHold) }

// Counts says how many tests are left.
func (p checkoutPage) Counts() []string {
	var words []string
	for _, left := range p.Progress.TestsLeft {
		words = append(words, left.Words)
	}
	return words
}

func (a *app) checkout(c *fiber.Ctx) error {
	answer, err := a.checkoutOf(c)
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	page, err := a.checkoutWith(c, answer)
	return a.show(c, "checkout", page, err)
}

func (a *app) checkoutOf(c *fiber.Ctx) (stock.Checkout, error) {
	id, err := idParam(c)
	if err != nil {
		return stock.Checkout{}, err
	}
	return a.Stock.Checkout(c.UserContext(), personOf(c), id)
}

func (a *app) checkoutWith(c *fiber.Ctx, answer stock.Checkout) (checkoutPage, error) {
	page := checkoutPage{Checkout: answer, MayLog: auth.Can(personOf(c).Role, auth.LogTests) && answer.ReturnedAt == ""}
	settings, err := catalogue.CurrentSettings(c.UserContext(), a.Catalogue.Store)
	if err != nil {
		return page, err
	}
	page.Emergency, page.Gauges = settings.EmergencyNumbers, settings.GaugeCodes()
	if page.Places, err = a.choices(c, "places"); err != nil {
		return page, err
	}
	page.Procedures, err = a.choices(c, "procedures")
	return page, err
}

// checkoutForm brings a screen of a check-out back: "checkout" or "bring_back".
func (a *app) checkoutForm(name string) form {
	return func(c *fiber.Ctx) (string, any, error) {
		answer, err := a.checkoutOf(c)
		if err != nil {
			return "", nil, err
		}
		page, err := a.checkoutWith(c, answer)
		if name == "bring_back" {
			return name, returnPage{page}, err
		}
		return name, page, err
	}
}

// returnPage is the screen of bringing a cylinder back.
type returnPage struct{ checkoutPage }

// Title is the heading of the page.
func (p returnPage) Title() string { return fmt.Sprintf("Bring back %s", p.Tag) }

// Set names what went out with the cylinder and may stay on it.
func (p returnPage) Set() []string {
	return slices.DeleteFunc([]string{p.Regulator, p.Tubing, p.Cap}, func(code string) bool { return code == "" })
}

// Causes are what may have happened to the gas that the findings ask about; none where they ask nothing.
func (p returnPage) Causes(findings []views.Finding) []string {
	for _, f := range findings {
		switch {
		case f.Severity != string(problem.Ask):
		case strings.Contains(f.Text, "less than logged"):
			return stock.ShortCauses()
		default:
			return stock.ReturnCauses()
		}
	}
	return nil
}

// logTests records a test.
func (a *app) logTests(c *fiber.Ctx) error {
	id, err := idParam(c)
	if err != nil {
		return err
	}
	do := func(ctx context.Context, act auth.Act, o stock.TestLogOrder) (stock.TestLogAnswer, error) {
		o.Checkout = id
		return a.Stock.LogTests(ctx, act, o)
	}
	to := func(t stock.TestLogAnswer) string {
		return fmt.Sprintf("/checkouts/%d?done=%s%s", id, escape(logged(t)), markOf(t.Test))
	}
	return write(a, c, do, to, a.checkoutForm("checkout"))
}

// logged says what was recorded and what follows from it; findings that lead to the same next step share it.
func logged(t stock.TestLogAnswer) string {
	notice := fmt.Sprintf("%s: %s, %s.", t.Test.Instrument, t.Test.Procedure, t.Test.Result)
	var steps []string
	texts := map[string][]string{} // by the next step
	for _, f := range t.Findings {
		if texts[f.Advice] == nil {
			steps = append(steps, f.Advice)
		}
		texts[f.Advice] = append(texts[f.Advice], f.Text)
	}
	for _, step := range steps {
		notice += fmt.Sprintf(" %s: %s.", strings.Join(texts[step], "; "), step)
	}
	return notice
}

// markOf adds to an address the severity of a test that is not as it should be.
func markOf(t stock.TestAnswer) string {
	switch {
	case t.Result == stock.Fail:
		return "&mark=" + string(problem.Stop)
	case !t.Valid:
		return "&mark=" + string(problem.Ask)
	}
	return ""
}

// bringBack returns a cylinder.
func (a *app) bringBack(c *fiber.Ctx) error {
	id, err := idParam(c)
	if err != nil {
		return err
	}
	do := func(ctx context.Context, act auth.Act, o stock.ReturnOrder) (stock.ReturnAnswer, error) {
		o.Checkout = id
		return a.Stock.Return(ctx, act, o)
	}
	to := func(r stock.ReturnAnswer) string {
		return fmt.Sprintf("/checkouts/%d?done=%s", id, escape(fmt.Sprintf("%s is at %s.", r.Tag, r.Place)))
	}
	return write(a, c, do, to, a.checkoutForm("bring_back"))
}

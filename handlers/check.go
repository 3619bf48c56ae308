package handlers

import (
	"errors"
	"net/url"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/stock"
	"spanroom/views"
)

// checkPage is the gas and fittings check of what somebody holds, before anything is taken.
type checkPage struct {
	Order stock.CheckOutOrder
	Pick  *stock.Pick // the cylinder with all that is found; nil until something is checked
	setChoices
	Purposes []string
	Take     string // where to take it like this, "" for who may not

	fields map[string]string // of the address
}

// TypedFields is what was typed into the form, which sends it by the address.
func (p checkPage) TypedFields() map[string]string { return p.fields }

// Rows are the lines of tests that the form shows.
func (p checkPage) Rows() []stock.TestOrder { return testRows(p.Order) }

// Usual is the purpose that stands there at first; a round has its own.
func (p checkPage) Usual() string {
	if p.Order.Round != "" || len(p.Order.Tests) > 0 {
		return ""
	}
	return catalogue.Bump
}

// Counts says how many tests are left in the cylinder.
func (p checkPage) Counts() []string { return countsOf(p.Pick) }

// Codes are those of what may be chosen.
func (checkPage) Codes(options []views.Option) []string {
	codes := make([]string, len(options))
	for i, o := range options {
		codes[i] = o.Value
	}
	return codes
}

// Compared says with which instruments the cylinder is compared, unless a finding says that it is not.
func (p checkPage) Compared() string { return comparedWith(p.Pick, p.Pick.Findings) }

// Worst is the hardest of what is found: stop, ask, note or nothing.
func (p checkPage) Worst() string { return string(problem.Worst(p.Pick.Findings)) }

// check tells what the rules say of a cylinder with a set and instruments. It changes nothing.
func (a *app) check(c *fiber.Ctx) error {
	page := checkPage{Purposes: catalogue.Purposes(), fields: addressFields(c)}
	var err error
	page.Order, err = readAddress[stock.CheckOutOrder](page.fields)
	if err == nil && (isAPI(c) || asksForCheck(page.fields)) {
		page.Pick, err = a.considered(c, page.Order)
	}
	if isAPI(c) {
		return a.show(c, "", page.Pick, err)
	}
	form := func(*fiber.Ctx) (_ string, _ any, err error) {
		page.setChoices, err = a.setChoices(c)
		return "check", page, err
	}
	if err != nil {
		return a.again(c, form, inOneBox(err, "instruments"))
	}
	if page.Pick != nil && auth.Can(personOf(c).Role, auth.Take) {
		page.Take = takeLike(page.fields, page.Order, *page.Pick)
	}
	return a.blankForm(form)(c)
}

func (a *app) considered(c *fiber.Ctx, o stock.CheckOutOrder) (*stock.Pick, error) {
	answer, err := a.Stock.Consider(c.UserContext(), personOf(c), o)
	if err != nil {
		return nil, err
	}
	return &answer, nil
}

// asksForCheck tells whether more is given than the cylinder, with which other pages lead here.
func asksForCheck(fields map[string]string) bool {
	for name, value := range fields {
		if name != "cylinder" && strings.TrimSpace(value) != "" {
			return true
		}
	}
	return false
}

// takeLike leads to the Take screen with what was checked.
func takeLike(fields map[string]string, o stock.CheckOutOrder, p stock.Pick) string {
	query := url.Values{}
	for name, value := range fields {
		if value != "" {
			query.Set(name, value)
		}
	}
	if o.Item+o.Blend+o.Round == "" {
		query.Set("item", p.Item)
	}
	return "/checkouts/new?" + query.Encode()
}

// inOneBox tells of the entries of a list by the one box that they are typed into.
func inOneBox(err error, list string) error {
	var p *problem.Error
	if !errors.As(err, &p) {
		return err
	}
	told := *p
	told.Fields = slices.Clone(p.Fields)
	for i, f := range told.Fields {
		if strings.HasPrefix(f.Name, list+".") {
			told.Fields[i].Name = list
		}
	}
	return &told
}

package handlers

import (
	"fmt"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/stock"
)

// issuePage is the form of handing out.
type issuePage struct {
	Item, Place string // chosen already
	Items       []catalogue.Choice
	Places      []catalogue.Choice
}

// issue hands out a consumable.
func (a *app) issue(c *fiber.Ctx) error {
	to := func(i stock.IssueAnswer) string {
		notice := fmt.Sprintf("%g of %s to %s; %g left at %s.", i.Issued, i.Item, i.To, i.Balance, i.Place)
		for _, f := range i.Findings {
			notice += " " + f.Text + ": " + f.Advice + "."
		}
		return "/consumables?done=" + escape(notice)
	}
	return write(a, c, a.Stock.Issue, to, a.issueForm)
}

func (a *app) issueForm(c *fiber.Ctx) (string, any, error) {
	page := issuePage{Item: queryText(c, "item"), Place: queryText(c, "place")}
	var err error
	if page.Items, err = a.Stock.IssueItems(c.UserContext()); err != nil {
		return "", nil, err
	}
	page.Places, err = a.choices(c, "places")
	return "issue", page, err
}

// consumablesPage is the list, and whether the person may hand out.
type consumablesPage struct {
	stock.Consumables
	May bool
}

func (a *app) consumables(c *fiber.Ctx) error {
	limit, err := queryLimit(c)
	if err != nil {
		return err
	}
	answer, err := a.Stock.Consumables(c.UserContext(), queryText(c, "after"), limit)
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	return a.show(c, "consumables", consumablesPage{answer, auth.Can(personOf(c).Role, auth.Issue)}, nil)
}

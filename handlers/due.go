package handlers

import (
	"fmt"
	"net/url"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// duePage is what is due, what it was narrowed to, and the ways to the gas for it.
type duePage struct {
	stock.DueAnswer
	Place, Model, State string
	Places, Models      []catalogue.Choice
	States              []string
	Now                 bool // the day is today
	Ahead               int64
	Take                []takeLink
}

// takeLink leads to the Take screen with the monitors that one procedure and one regulator bring in order.
type takeLink struct {
	stock.DueGroup
	Shown int // so many of them are in the link
	Href  string
}

// Title is the heading of the page.
func (p duePage) Title() string {
	if p.Now {
		return "Monitors due"
	}
	return "Monitors due on " + p.On.Words()
}

// due lists the monitors that are due for a test.
func (a *app) due(c *fiber.Ctx) error {
	limit, err := queryLimit(c)
	if err != nil {
		return err
	}
	q := stock.DueQuestion{
		On: unit.Date(queryText(c, "on")), Place: queryText(c, "place"), Model: queryText(c, "model"), State: queryText(c, "state"),
		After: queryText(c, "after"), Limit: limit,
	}
	answer, err := a.Stock.Due(c.UserContext(), q)
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	page, err := a.dueWith(c, q, answer)
	return a.show(c, "due", page, err)
}

func (a *app) dueWith(c *fiber.Ctx, q stock.DueQuestion, answer stock.DueAnswer) (duePage, error) {
	page := duePage{DueAnswer: answer, Place: q.Place, Model: q.Model, State: q.State, States: stock.DueStates()}
	settings, err := catalogue.CurrentSettings(c.UserContext(), a.Catalogue.Store)
	if err != nil {
		return page, err
	}
	page.Now, page.Ahead = answer.On == settings.Today(a.Now()), settings.DueAheadDays
	if page.Now && auth.Can(personOf(c).Role, auth.Take) {
		for _, g := range answer.Groups {
			page.Take = append(page.Take, takeFor(g))
		}
	}
	if page.Places, err = a.choices(c, "places"); err != nil {
		return page, err
	}
	page.Models, err = a.choices(c, "models")
	return page, err
}

// mostInLink keeps an address short enough for every browser and server.
const mostInLink = 100

func takeFor(g stock.DueGroup) takeLink {
	link := takeLink{DueGroup: g, Shown: min(len(g.Instruments), mostInLink)}
	var address strings.Builder
	fmt.Fprintf(&address, "/checkouts/new?purpose=%s", g.Purpose)
	if g.Blend != "" {
		address.WriteString("&blend=" + url.QueryEscape(g.Blend))
	}
	for i, serial := range g.Instruments[:link.Shown] {
		fmt.Fprintf(&address, "&instruments.%d=%s", i, url.QueryEscape(serial))
	}
	link.Href = address.String()
	return link
}

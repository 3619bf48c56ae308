package handlers

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/stock"
	"spanroom/views"
)

// take shows the Take screen; with something wanted in the address it shows the pick.
func (a *app) take(c *fiber.Ctx) error {
	page, choices, err := a.takeForm(c)
	if err != nil {
		return a.again(c, a.blankTakeForm, inOneBox(err, "instruments"))
	}
	return a.show(c, page, choices, nil)
}

// checkOut takes a cylinder. What it was refused for stands on the form that comes back.
func (a *app) checkOut(c *fiber.Ctx) error {
	var refused *problem.Error
	do := func(ctx context.Context, act auth.Act, o stock.CheckOutOrder) (stock.CheckOutAnswer, error) {
		out, err := a.Stock.CheckOut(ctx, act, o)
		errors.As(err, &refused)
		return out, err
	}
	to := func(out stock.CheckOutAnswer) string {
		return fmt.Sprintf("/checkouts/%d?done=%s", out.ID, escape(fmt.Sprintf("%s is with %s.", out.Tag, out.Holder)))
	}
	return write(a, c, do, to, func(c *fiber.Ctx) (string, any, error) { return a.takeAgain(c, refused) })
}

// recommend answers a program with the pick.
func (a *app) recommend(c *fiber.Ctx) error {
	order, err := read[stock.TakeOrder](c)
	if err != nil {
		return err
	}
	answer, err := a.Stock.Recommend(c.UserContext(), personOf(c), order)
	return a.show(c, "", answer, err)
}

// takeForm loads the form with what the request wants. It fails where the order cannot be read.
func (a *app) takeForm(c *fiber.Ctx) (string, any, error) {
	page, err := a.takeChoices(c)
	if err != nil {
		return "", nil, err
	}
	if page.Order, err = wantedTake(c); err != nil || !asksForGas(page.Order) {
		return "take", page, err
	}
	answer, err := a.Stock.Recommend(c.UserContext(), personOf(c), page.Order.TakeOrder)
	if err != nil {
		return "take", page, err
	}
	page.Found = &answer
	page.Chosen, err = a.chosen(c, page.Order, answer.Pick)
	return "take", page, err
}

// chosen is the cylinder on top: the pick, or the one whose tag was scanned, or the pick with another set than is proposed.
func (a *app) chosen(c *fiber.Ctx, order stock.CheckOutOrder, pick *stock.Pick) (*stock.Pick, error) {
	order.Cylinder = strings.TrimSpace(order.Cylinder)
	if pick != nil && (order.Cylinder == "" || order.Cylinder == string(pick.Tag)) {
		if !namesSet(order) {
			return pick, nil
		}
		order.Cylinder = string(pick.Tag)
	}
	if order.Cylinder == "" {
		return nil, nil
	}
	order.Holder = "" // to whom it is handed is no matter of the gas
	another, err := a.considered(c, order)
	if err == nil && pick != nil && another.Tag == pick.Tag {
		another.Why = pick.Why
	}
	return another, err
}

// namesSet tells whether an order says more of how the cylinder is used than what for.
func namesSet(o stock.CheckOutOrder) bool {
	return o.Regulator+o.Tubing+o.Cap != "" || o.SetToCertified
}

// takeAgain is the form after a refusal: as much of it as can be read, the chosen cylinder on top with the set that was sent.
func (a *app) takeAgain(c *fiber.Ctx, refused *problem.Error) (string, any, error) {
	name, answer, err := a.takeForm(c)
	if err != nil {
		return a.blankTakeForm(c)
	}
	page := answer.(takePage)
	if page.Chosen != nil {
		page.Chosen.Kit = onlyNamed(page.Chosen.Kit, page.Order)
	}
	if refused != nil {
		page.refused = refused.Findings
	}
	return name, page, nil
}

// blankTakeForm is the form with what was wanted and without a pick.
func (a *app) blankTakeForm(c *fiber.Ctx) (string, any, error) {
	page, err := a.takeChoices(c)
	if err == nil {
		page.Order, _ = wantedTake(c) // what is wrong with it is told already
	}
	return "take", page, err
}

// asksForGas tells whether something is wanted; that it is too little to go by is told by the room.
func asksForGas(o stock.CheckOutOrder) bool {
	return strings.TrimSpace(o.Item+o.Blend+o.Round) != "" || len(o.Instruments) > 0 || len(o.Tests) > 0
}

func (a *app) takeChoices(c *fiber.Ctx) (takePage, error) {
	page := takePage{People: handsOut(personOf(c).Role), Purposes: catalogue.Purposes(), fields: typed(c)}
	if !isForm(c) {
		page.fields = addressFields(c)
	}
	var err error
	if page.Items, err = a.Stock.GasItems(c.UserContext()); err != nil {
		return page, err
	}
	page.setChoices, err = a.setChoices(c)
	return page, err
}

// setChoices are what the forms about a cylinder and its set offer to choose from.
type setChoices struct {
	Rounds, Procedures, Places []catalogue.Choice
	Regulators, Tubings, Caps  []views.Option
}

func (a *app) setChoices(c *fiber.Ctx) (s setChoices, err error) {
	for plural, into := range map[string]*[]catalogue.Choice{"rounds": &s.Rounds, "procedures": &s.Procedures, "places": &s.Places} {
		if *into, err = a.choices(c, plural); err != nil {
			return s, err
		}
	}
	for plural, into := range map[string]*[]views.Option{"regulators": &s.Regulators, "tubings": &s.Tubings, "caps": &s.Caps} {
		things, err := a.choices(c, plural)
		if err != nil {
			return s, err
		}
		*into = coded(things)
	}
	return s, nil
}

// coded offers things by the code that is on them, with what they are called beside it.
func coded(things []catalogue.Choice) []views.Option {
	options := make([]views.Option, len(things))
	for i, thing := range things {
		options[i] = views.Option{Value: thing.Code, Text: thing.Code}
		if thing.Name != "" && thing.Name != thing.Code {
			options[i].Text += ", " + thing.Name
		}
	}
	return options
}

// wantedTake reads what is wanted from the form that was sent, or from the address.
func wantedTake(c *fiber.Ctx) (stock.CheckOutOrder, error) {
	if isForm(c) {
		return read[stock.CheckOutOrder](c)
	}
	return readAddress[stock.CheckOutOrder](addressFields(c))
}

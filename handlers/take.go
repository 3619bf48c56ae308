package handlers

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/catalogue"
	"spanroom/internal/stock"
)

// takePage is the form of the Take screen: what is wanted, and with it the one pick and what else would do.
type takePage struct {
	Order      stock.CheckOutOrder
	Found      *stock.Recommendation // nil until something is wanted
	Chosen     *stock.Pick           // the pick, or the one in the hand
	Items      []catalogue.Choice
	Rounds     []catalogue.Choice
	Procedures []catalogue.Choice
	Places     []catalogue.Choice
	Regulators []catalogue.Choice
	Tubings    []catalogue.Choice
	People     bool // the person may hand it to somebody else
}

// hidden is a field that goes from what was asked to what is taken.
type hidden struct{ Name, Value string }

// Wanted repeats what was asked for as it was understood, so that what is taken is what was shown.
func (p takePage) Wanted() []hidden {
	n := p.Found.Need
	fields := []hidden{{"purpose", string(n.Purpose)}, {"from", string(n.From)}, {"until", string(n.Until)}, {"place", n.Place}, {"item", n.Item}}
	if n.Item == "" {
		fields = append(fields, hidden{"blend", n.Blend})
	}
	for i, t := range n.Tests {
		fields = append(fields, hidden{fmt.Sprintf("tests.%d.procedure", i), t.Procedure}, hidden{fmt.Sprintf("tests.%d.count", i), fmt.Sprint(t.Count)})
	}
	return slices.DeleteFunc(fields, func(f hidden) bool { return f.Value == "" })
}

// Others are the picks that were not chosen.
func (p takePage) Others() []stock.Pick {
	if p.Found.Pick == nil {
		return nil
	}
	return slices.DeleteFunc(append([]stock.Pick{*p.Found.Pick}, p.Found.Alternatives...), func(other stock.Pick) bool {
		return p.Chosen != nil && other.Tag == p.Chosen.Tag
	})
}

// Stopped says how many cylinders each rule stops.
func (p takePage) Stopped() []string {
	var words []string
	for _, rule := range slices.Sorted(maps.Keys(p.Found.PassedOverCount)) {
		words = append(words, stock.StoppedWords(rule, p.Found.PassedOverCount[rule]))
	}
	return words
}

// Rows are the lines of tests that the form shows: those that were asked for, and an empty one.
func (p takePage) Rows() []stock.TestOrder {
	return append(slices.Clone(p.Order.Tests), make([]stock.TestOrder, max(1, 2-len(p.Order.Tests)))...)
}

// Counts says how many tests are left in the chosen cylinder.
func (p takePage) Counts() []string {
	var words []string
	for _, left := range p.Chosen.TestsLeft {
		words = append(words, left.Words)
	}
	return words
}

// NitrogenBalance tells whether the gas displaces oxygen.
func (p takePage) NitrogenBalance() bool { return p.Chosen != nil && p.Chosen.Balance == "N2" }

// take shows the Take screen; with something wanted in the address it shows the pick.
func (a *app) take(c *fiber.Ctx) error {
	page, choices, err := a.takeForm(c)
	if err != nil {
		return a.again(c, a.blankTakeForm, err)
	}
	return a.show(c, page, choices, nil)
}

// checkOut takes a cylinder.
func (a *app) checkOut(c *fiber.Ctx) error {
	to := func(out stock.CheckOutAnswer) string {
		return fmt.Sprintf("/checkouts/%d?done=%s", out.ID, escape(fmt.Sprintf("%s is with %s.", out.Tag, out.Holder)))
	}
	return write(a, c, a.Stock.CheckOut, to, a.takeAgain)
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

// chosen is the cylinder on top: the pick, or the one whose tag was scanned.
func (a *app) chosen(c *fiber.Ctx, order stock.CheckOutOrder, pick *stock.Pick) (*stock.Pick, error) {
	tag := strings.TrimSpace(order.Cylinder)
	if tag == "" || pick != nil && tag == string(pick.Tag) {
		return pick, nil
	}
	order.Regulator, order.Tubing, order.Holder = "", "", "" // chosen beside it; what is wrong with them is told already
	another, err := a.Stock.Consider(c.UserContext(), personOf(c), order)
	return &another, err
}

// takeAgain is the form after a refusal: as much of it as can be read, the chosen cylinder on top.
func (a *app) takeAgain(c *fiber.Ctx) (string, any, error) {
	name, page, err := a.takeForm(c)
	if err != nil {
		return a.blankTakeForm(c)
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

func asksForGas(o stock.CheckOutOrder) bool {
	return strings.TrimSpace(o.Item+o.Blend+o.Round) != ""
}

func (a *app) takeChoices(c *fiber.Ctx) (takePage, error) {
	page := takePage{People: handsOut(personOf(c).Role)}
	var err error
	if page.Items, err = a.Stock.GasItems(c.UserContext()); err != nil {
		return page, err
	}
	for plural, into := range map[string]*[]catalogue.Choice{
		"rounds": &page.Rounds, "procedures": &page.Procedures, "places": &page.Places, "regulators": &page.Regulators, "tubings": &page.Tubings,
	} {
		if *into, err = a.choices(c, plural); err != nil {
			return page, err
		}
	}
	return page, nil
}

// wantedTake reads what is wanted from the form that was sent, or from the address.
func wantedTake(c *fiber.Ctx) (stock.CheckOutOrder, error) {
	if isForm(c) {
		return read[stock.CheckOutOrder](c)
	}
	fields := map[string]string{}
	c.Request().URI().QueryArgs().VisitAll(func(key, value []byte) { fields[string(key)] = string(value) })
	maps.DeleteFunc(fields, func(name, _ string) bool { return name == "done" })
	var order stock.CheckOutOrder
	tree, err := formTree(fields)
	if err != nil {
		return order, err
	}
	b := binder{lax: true}
	b.value("", tree, reflect.ValueOf(&order).Elem())
	return order, b.wrong.Err()
}

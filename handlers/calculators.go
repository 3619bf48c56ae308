package handlers

import (
	"context"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/catalogue"
	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/stock"
)

// calculatorsQuestion is what the address asks of the calculators, each under its own name.
type calculatorsQuestion struct {
	Contents stock.ContentsQuestion `json:"contents"`
	LEL      stock.LELQuestion      `json:"lel"`
	UseBy    stock.UseByQuestion    `json:"use_by"`
}

// calculatorsPage has the calculators with what was asked of them, and what their forms offer. One that was not asked has no answer.
type calculatorsPage struct {
	Order    []string // their names, those that were asked first
	Contents *stock.ContentsAnswer
	LEL      *stock.LELAnswer
	UseBy    *stock.UseByAnswer
	Items    []catalogue.Choice
	Blends   []catalogue.Choice
	Gauges   []string
	Gases    []string
	fields   map[string]string
}

// TypedFields is what was typed into the forms, which send it by the address.
func (p calculatorsPage) TypedFields() map[string]string { return p.fields }

// Bases lists the standards of lower limits.
func (p calculatorsPage) Bases() []gas.Basis { return gas.Bases() }

// calculators shows the calculators, and answers those that the address asks.
func (a *app) calculators(c *fiber.Ctx) error {
	page, err := a.calculatorForms(c)
	if err != nil {
		return err
	}
	err = a.calculate(c, &page)
	if err != nil {
		return a.again(c, func(*fiber.Ctx) (string, any, error) { return "calculators", page, nil }, err)
	}
	return a.show(c, "calculators", page, nil)
}

// calculate answers each calculator that is asked; what is wrong with any of them is told at once.
func (a *app) calculate(c *fiber.Ctx, page *calculatorsPage) error {
	q, err := readAddress[calculatorsQuestion](page.fields)
	if err != nil {
		return err
	}
	var wrong problem.Fields
	for _, name := range page.Order {
		if !page.asks(name) {
			continue
		}
		switch name {
		case "contents":
			err = answered(c, &page.Contents, q.Contents, a.Stock.CalculateContents)
		case "lel":
			err = answered(c, &page.LEL, q.LEL, a.Stock.CalculateLEL)
		case "use_by":
			err = answered(c, &page.UseBy, q.UseBy, a.Stock.CalculateUseBy)
		}
		if err != nil && problem.KindOf(err) != problem.Invalid {
			return err
		}
		wrong.Take(name, err)
	}
	return wrong.Err()
}

func answered[Q, A any](c *fiber.Ctx, into **A, question Q, ask func(context.Context, Q) (A, error)) error {
	answer, err := ask(c.UserContext(), question)
	if err == nil {
		*into = &answer
	}
	return err
}

// asks tells whether the form of a calculator was sent.
func (p calculatorsPage) asks(name string) bool {
	for field := range p.fields {
		if strings.HasPrefix(field, name+".") {
			return true
		}
	}
	return false
}

// calculatorForms loads what the forms offer.
func (a *app) calculatorForms(c *fiber.Ctx) (calculatorsPage, error) {
	page := calculatorsPage{fields: addressFields(c)}
	for _, asked := range []bool{true, false} {
		for _, name := range []string{"contents", "lel", "use_by"} {
			if page.asks(name) == asked {
				page.Order = append(page.Order, name)
			}
		}
	}
	settings, err := catalogue.CurrentSettings(c.UserContext(), a.Catalogue.Store)
	if err != nil {
		return page, err
	}
	page.Gauges = settings.GaugeCodes()
	if page.Items, err = a.Stock.GasItems(c.UserContext()); err != nil {
		return page, err
	}
	if page.Blends, err = a.choices(c, "blends"); err != nil {
		return page, err
	}
	page.Gases, err = a.Stock.Combustibles(c.UserContext())
	return page, err
}

package handlers

import (
	"context"
	"net/url"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// shelfPage is the list of cylinders with what it can be narrowed by.
type shelfPage struct {
	stock.CylindersAnswer
	Asked  stock.CylindersQuestion
	Items  []catalogue.Choice
	Places []catalogue.Choice
}

// Unsorted tells whether there were too many to be sorted.
func (p shelfPage) Unsorted() bool {
	return p.Asked.Sort != stock.ByArrival && p.Sort == stock.ByArrival
}

// cylinders lists cylinders.
func (a *app) cylinders(c *fiber.Ctx) error {
	limit, err := queryLimit(c)
	if err != nil {
		return err
	}
	q := stock.CylindersQuestion{
		Item: queryText(c, "item"), Place: queryText(c, "place"), Stage: queryText(c, "stage"), Text: queryText(c, "q"),
		Holder: queryText(c, "holder"), LastHolder: queryText(c, "last_holder"), Sort: queryText(c, "sort"), After: queryText(c, "after"), Limit: limit,
	}
	answer, err := a.Stock.Cylinders(c.UserContext(), q)
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	page := shelfPage{CylindersAnswer: answer, Asked: q}
	if page.Items, err = a.choices(c, "items"); err != nil {
		return err
	}
	page.Places, err = a.choices(c, "places")
	return a.show(c, "cylinders", page, err)
}

// choices lists everything of a noun, by its plural.
func (a *app) choices(c *fiber.Ctx, plural string) ([]catalogue.Choice, error) {
	noun, _ := catalogue.NounAt(plural)
	return a.Catalogue.Choices(c.UserContext(), noun)
}

// cylinderPage is a cylinder with what may be done about it.
type cylinderPage struct {
	stock.CylinderAnswer
	Procedure string // that was asked for
	Open      string // the form that came back: move, reading, hold or release
	May       map[string]bool
	Places    []catalogue.Choice
	Gauges    []string
	Reasons   []string
	Emergency string // the site's numbers
	Role      auth.Role
	Release   *stock.HoldAnswer // that was chosen to be released
	Dated     bool              // another day than today was asked about
	Printed   stock.LabelAnswer // the label that counts
	Meant     string            // what a pressure that cannot be was likely meant as
}

// Title is the heading of the page.
func (p cylinderPage) Title() string { return "Cylinder " + string(p.Tag) }

// Leaking tells whether a leak is suspected.
func (p cylinderPage) Leaking() bool { return leaking(p.Holds) }

// Label is what the cylinder's label must read.
func (p cylinderPage) Label() []string {
	words := make([]string, len(p.Components))
	for i, component := range p.Components {
		words[i] = component.Words
	}
	return words
}

// FullName is the item in words.
func (p cylinderPage) FullName() string {
	if p.ItemName == p.Item {
		return p.Item
	}
	return p.ItemName + ", " + p.Item
}

// LimitedBy is what limits the use-by; "" where there is none.
func (p cylinderPage) LimitedBy() string {
	limit, _ := strings.CutPrefix(p.GovernedBy.Words, "limited by ")
	if p.ExpiresOn == "" {
		return ""
	}
	return limit
}

// Counts says how many tests are left, each by its procedure where several have the same purpose.
func (p cylinderPage) Counts() []string {
	alike := map[stock.Purpose]int{}
	for _, left := range p.TestsLeft {
		alike[left.Purpose]++
	}
	var words []string
	for _, left := range p.TestsLeft {
		if alike[left.Purpose] > 1 {
			left.Words = left.Name + ": " + left.Words
		}
		words = append(words, left.Words)
	}
	return words
}

// WantsPaper tells whether a certificate or a date is missing that the person may enter.
func (p cylinderPage) WantsPaper() bool { return wantsPaper(p.Role, p.Holds) }

// MayRelease tells whether the person's role may release a hold.
func (p cylinderPage) MayRelease(h stock.HoldAnswer) bool { return mayRelease(p.Role, h) }

// cylinder tells everything about one cylinder.
func (a *app) cylinder(c *fiber.Ctx) error {
	answer, err := a.askCylinder(c, c.Params("tag"))
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	page, err := a.cylinderWith(c, answer, int64(c.QueryInt("release")))
	return a.show(c, "cylinder", page, err)
}

func (a *app) askCylinder(c *fiber.Ctx, tag string) (stock.CylinderAnswer, error) {
	q := stock.CylinderQuestion{Procedure: queryText(c, "procedure"), Purpose: queryText(c, "purpose"), On: queryText(c, "on")}
	return a.Stock.Cylinder(c.UserContext(), tag, q)
}

// cylinderWith makes the page; release is the hold that was chosen to be released, or 0.
func (a *app) cylinderWith(c *fiber.Ctx, answer stock.CylinderAnswer, release int64) (cylinderPage, error) {
	role := personOf(c).Role
	page := cylinderPage{CylinderAnswer: answer, Procedure: c.Query("procedure"), Role: role, Dated: c.Query("on") != "", Reasons: stock.HoldReasons(), May: map[string]bool{
		"move": auth.Can(role, auth.Move) && answer.Custody.Kind == "place", "read": auth.Can(role, auth.TakeReading) && answer.Stage != stock.Gone,
		"hold": auth.Can(role, auth.Hold), "label": auth.Can(role, auth.PrintLabel) && answer.Stage != stock.Gone, "take": auth.Can(role, auth.Take),
	}}
	for i, h := range answer.Holds {
		if h.ID == release {
			page.Release = &answer.Holds[i]
		}
	}
	settings, err := catalogue.CurrentSettings(c.UserContext(), a.Catalogue.Store)
	if err != nil {
		return page, err
	}
	page.Emergency, page.Gauges = settings.EmergencyNumbers, settings.GaugeCodes()
	if page.Printed, err = a.Stock.LabelOf(c.UserContext(), answer.Tag); err != nil {
		return page, err
	}
	page.Places, err = a.choices(c, "places")
	return page, err
}

// cylinderForm brings the page of a cylinder back with the form open that was sent.
func (a *app) cylinderForm(tag, open string, release int64) form {
	return func(c *fiber.Ctx) (string, any, error) {
		answer, err := a.askCylinder(c, tag)
		if err != nil {
			return "", nil, err
		}
		page, err := a.cylinderWith(c, answer, release)
		page.Open = open
		if open == "reading" {
			page.Meant = stock.MeantPressure(unit.Typed(withUnit(c.FormValue("pressure"), c.FormValue("pressure.unit"))), answer.FillPressureBar)
		}
		return "cylinder", page, err
	}
}

func toCylinder(tag, notice string) string {
	return "/cylinders/" + url.PathEscape(tag) + "?done=" + escape(notice)
}

// move puts a cylinder at another place.
func (a *app) move(c *fiber.Ctx) error {
	tag := c.Params("tag")
	do := func(ctx context.Context, act auth.Act, o stock.MoveOrder) (stock.MoveAnswer, error) {
		o.Tag = tag
		return a.Stock.Move(ctx, act, o)
	}
	to := func(m stock.MoveAnswer) string { return toCylinder(string(m.Tag), "It is at "+m.Place+" now.") }
	return write(a, c, do, to, a.cylinderForm(tag, "move", 0))
}

// reading records a pressure.
func (a *app) reading(c *fiber.Ctx) error {
	tag := c.Params("tag")
	do := func(ctx context.Context, act auth.Act, o stock.ReadingOrder) (stock.ReadingAnswer, error) {
		o.Tag = tag
		return a.Stock.Reading(ctx, act, o)
	}
	to := func(r stock.ReadingAnswer) string {
		notice := []string{"The pressure is recorded"}
		for _, f := range r.Findings {
			notice = append(notice, f.Text)
		}
		return toCylinder(string(r.Tag), strings.Join(notice, "; "))
	}
	return write(a, c, do, to, a.cylinderForm(tag, "reading", 0))
}

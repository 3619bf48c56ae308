package handlers

import (
	"fmt"
	"strconv"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
)

// versionsPage is the history of a thing: who changed what in it, the newest first.
type versionsPage struct {
	Noun catalogue.Noun
	Code string
	Rows []versionRow
}

type versionRow struct {
	catalogue.Past
	Differences []catalogue.Difference // from the version before
}

// Title is the heading of the page.
func (p versionsPage) Title() string { return titleOfThing(p.Noun, p.Code) + ", versions" }

// Path is the address of the thing.
func (p versionsPage) Path() string { return pathOfThing(p.Noun, p.Code) }

func (a *app) historyOf(n catalogue.Noun) fiber.Handler {
	return func(c *fiber.Ctx) error {
		past, err := a.Catalogue.History(c.UserContext(), n, codeOf(c, n))
		if err != nil || isAPI(c) {
			return a.show(c, "", fiber.Map{"rows": past, "next": ""}, err)
		}
		page := versionsPage{Noun: n, Code: codeOf(c, n), Rows: make([]versionRow, len(past))}
		for i, p := range past {
			page.Rows[i].Past = p
			if i+1 < len(past) {
				if page.Rows[i].Differences, err = n.Differences(past[i+1].Object, p.Object); err != nil {
					return err
				}
			}
		}
		return a.show(c, "catalogue_versions", page, nil)
	}
}

// getVersion gives a thing as it was, to look at.
func (a *app) getVersion(c *fiber.Ctx, n catalogue.Noun) error {
	version, err := strconv.ParseInt(c.Query("version"), 10, 64)
	if err != nil {
		return badQuery("version", "it must be a whole number")
	}
	code := codeOf(c, n)
	if isAPI(c) {
		order, err := a.Catalogue.GetVersion(c.UserContext(), n, code, version)
		return a.show(c, "", order, err)
	}
	past, err := a.Catalogue.History(c.UserContext(), n, code)
	if err != nil {
		return err
	}
	for _, p := range past {
		if p.Version == version {
			values, err := flatten(n, p.Object)
			return a.show(c, "catalogue_form", nounPage{Noun: n, Code: code, Values: values, Past: past, Old: &p}, err)
		}
	}
	return problem.NotFound(n.Name, fmt.Sprintf("%s at version %d", code, version))
}

package handlers

import (
	"slices"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/views"
)

// starting are the pages that can do nothing while the catalogue has no item.
var starting = []string{"desk", "receive", "take", "reorder"}

// startOrder is what a new site enters, in its order, and what for. What stands behind "items" can wait until gas is taken.
var startOrder = []struct{ plural, why string }{
	{"suppliers", "from whom things come"},
	{"places", "where they stand"},
	{"components", "the gases; review the limits that are proposed"},
	{"blends", "what is mixed in a cylinder"},
	{"items", "what is bought and kept"},
	{"procedures", "how a test is done, before gas is taken"},
	{"models", "what an instrument expects"},
	{"instruments", "the detectors, by serial"},
	{"rounds", "which of them are tested together"},
	{"regulators", "what goes onto a cylinder"},
	{"tubings", "what leads the gas on"},
	{"caps", "what sits on the instrument"},
}

// start says how the catalogue is begun, on the pages that need it; nothing once there is an item.
func (a *app) start(c *fiber.Ctx, page string) ([]views.Step, error) {
	if !slices.Contains(starting, page) {
		return nil, nil
	}
	sizes, begun, err := a.Catalogue.Beginning(c.UserContext())
	if err != nil || begun {
		return nil, err
	}
	role := personOf(c).Role
	steps := []views.Step{stepOf(role, catalogue.SettingsNoun(), "the site's time zone, emergency numbers and currency", 0)}
	for _, s := range startOrder {
		n, _ := catalogue.NounAt(s.plural) // a test holds the list against the nouns
		steps = append(steps, stepOf(role, n, s.why, sizes[n.Name]))
	}
	return steps, nil
}

// stepOf leads whoever may write a noun to its form while there is nothing, and everybody else to its list and whom to ask.
func stepOf(role auth.Role, n catalogue.Noun, why string, count int64) views.Step {
	s := views.Step{Text: n.Title, Why: why, Href: "/" + n.Plural, Count: count}
	switch {
	case !auth.Can(role, n.Deed):
		s.Ask = auth.Who(n.Deed)
	case count == 0 && n.Name != catalogue.SettingsNoun().Name:
		s.Href += "/new"
	}
	return s
}

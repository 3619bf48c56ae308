package handlers

import (
	"slices"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/stock"
)

// equipmentPage is the list of regulators, tubings and caps, and what it was narrowed to.
type equipmentPage struct {
	stock.Equipment
	Asked   stock.EquipmentQuestion
	Kinds   []string
	MayHold bool
}

// Holdable tells whether a kind of piece can be put on hold.
func (p equipmentPage) Holdable(kind string) bool {
	return p.MayHold && slices.Contains(stock.HoldKinds(), kind)
}

// Severity is how much the state of a piece matters to whoever looks for one.
func (p equipmentPage) Severity(state string) string {
	return map[string]string{"here": "ready", "out": "note", "left on": "note", "due": "ask"}[state]
}

// equipment lists regulators, tubings and caps.
func (a *app) equipment(c *fiber.Ctx) error {
	limit, err := queryLimit(c)
	if err != nil {
		return err
	}
	q := stock.EquipmentQuestion{Kind: queryText(c, "kind"), Text: queryText(c, "q"), After: queryText(c, "after"), Limit: limit}
	answer, err := a.Stock.Equipment(c.UserContext(), q)
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	return a.show(c, "equipment", equipmentPage{answer, q, stock.EquipmentKinds(), auth.Can(personOf(c).Role, auth.Hold)}, nil)
}

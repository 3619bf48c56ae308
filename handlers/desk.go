package handlers

import (
	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/stock"
)

// deskPage is the front page: the work waiting, the orders that are due where the person orders, and the monitors where they test.
type deskPage struct {
	stock.DeskAnswer
	Role     string           `json:"role"`
	Orders   *ordersDue       `json:"orders"`
	Monitors *stock.DueCounts `json:"monitors"` // for whoever tests them
	May      map[string]bool  `json:"-"`
}

// ordersDue counts the lines of the plan that want the purchaser now.
type ordersDue struct {
	Decide int `json:"decide"`
	Now    int `json:"now"`
	Later  int `json:"later"`
}

func (a *app) desk(c *fiber.Ctx) error {
	person := personOf(c)
	desk, err := a.Stock.Desk(c.UserContext(), person)
	if err != nil {
		return err
	}
	page := deskPage{DeskAnswer: desk, Role: string(person.Role), May: map[string]bool{
		"receive": auth.Can(person.Role, auth.Receive), "take": auth.Can(person.Role, auth.Take), "issue": auth.Can(person.Role, auth.Issue),
		"order": auth.Can(person.Role, auth.Order), "release": auth.Can(person.Role, auth.Release), "override": auth.Can(person.Role, auth.Override),
	}}
	if page.May["order"] {
		plan, err := a.Purchase.Plan(c.UserContext())
		if err != nil {
			return err
		}
		due := countOrders(plan)
		page.Orders = &due
	}
	if auth.Can(person.Role, auth.LogTests) {
		due, err := a.Stock.Due(c.UserContext(), stock.DueQuestion{})
		if err != nil {
			return err
		}
		page.Monitors = &due.Monitors
	}
	return a.show(c, "desk", page, nil)
}

// finishTask closes a task of the sort-out tray.
func (a *app) finishTask(c *fiber.Ctx) error {
	id, err := idParam(c)
	if err != nil {
		return err
	}
	answer, err := a.Stock.FinishTask(c.UserContext(), actOf(c), id)
	if err != nil {
		return err
	}
	return done(c, "/", answer)
}

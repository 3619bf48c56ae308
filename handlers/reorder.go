package handlers

import (
	"bytes"
	"fmt"
	"slices"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/problem"
	"spanroom/internal/purchase"
	"spanroom/internal/reorder"
	"spanroom/internal/workbook"
)

// orderPage is the plan as a page, with the line whose use-by cliff is drawn; nil where the plan is empty.
type orderPage struct {
	purchase.PlanAnswer
	ordersDue
	Chosen *purchase.Line
}

// ServicePct is the service level in percent, as people say it.
func (p orderPage) ServicePct() float64 { return 100 * p.Policy.Service }

func countOrders(plan purchase.PlanAnswer) ordersDue {
	var due ordersDue
	for _, l := range plan.Lines {
		switch l.State {
		case reorder.ToDecide:
			due.Decide++
		case reorder.OrderNow:
			due.Now++
		case reorder.Later:
			due.Later++
		}
	}
	return due
}

// choose finds the line that was asked for; without a question the first that has stock to draw.
func (p *orderPage) choose(item string) error {
	if len(p.Lines) == 0 && item == "" {
		return nil
	}
	at := slices.IndexFunc(p.Lines, func(l purchase.Line) bool { return l.Item == item || item == "" && l.OnHand > 0 })
	switch {
	case at >= 0:
		p.Chosen = &p.Lines[at]
	case item == "":
		p.Chosen = &p.Lines[0]
	default:
		return problem.New(problem.Missing, fmt.Sprintf("the plan has no line for %q", item), "choose an item from the order table")
	}
	return nil
}

// reorder answers what to order.
func (a *app) reorder(c *fiber.Ctx) error {
	plan, err := a.Purchase.Plan(c.UserContext())
	if err != nil || isAPI(c) {
		return a.show(c, "", plan, err)
	}
	page := orderPage{PlanAnswer: plan, ordersDue: countOrders(plan)}
	err = page.choose(queryText(c, "item"))
	return a.show(c, "reorder", page, err)
}

const xlsx = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

// reorderWorkbook answers the plan as a workbook to download.
func (a *app) reorderWorkbook(c *fiber.Ctx) error {
	plan, err := a.Purchase.Plan(c.UserContext())
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := workbook.Write(&out, plan); err != nil {
		return err
	}
	c.Attachment("reorder-" + plan.Snapshot + ".xlsx")
	c.Set(fiber.HeaderContentType, xlsx)
	c.Set(fiber.HeaderCacheControl, "no-store")
	return c.Send(out.Bytes())
}

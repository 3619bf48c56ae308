package handlers

import (
	"github.com/gofiber/fiber/v2"

	"spanroom/internal/stock"
)

// ledgerPage is a part of the ledger with the ways to its neighbours.
type ledgerPage struct {
	stock.LedgerPart
	Earlier *int64 // where the part before begins; nil at the start
}

const ledgerRows = 50

// ledger lists what happened: every entry as it is kept for a program, from the start; what was done in words for a person,
// the newest part first.
func (a *app) ledger(c *fiber.Ctx) error {
	after, limit, err := queryPage(c)
	if err != nil {
		return err
	}
	q := stock.LedgerQuestion{Subject: queryText(c, "subject"), After: after, Limit: limit}
	if isAPI(c) {
		answer, err := a.Stock.Ledger(c.UserContext(), q)
		return a.show(c, "", answer, err)
	}
	if q.Limit == 0 {
		q.Limit = ledgerRows
	}
	if c.Query("after") == "" && q.Subject == "" {
		last, err := a.Stock.LastEntry(c.UserContext())
		if err != nil {
			return err
		}
		q.After = max(0, last-int64(q.Limit))
	}
	part, err := a.Stock.LedgerPart(c.UserContext(), q)
	page := ledgerPage{LedgerPart: part}
	if q.After > 0 && q.Subject == "" {
		earlier := max(0, q.After-int64(q.Limit))
		page.Earlier = &earlier
	}
	return a.show(c, "ledger", page, err)
}

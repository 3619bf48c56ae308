package handlers

import (
	"context"
	"slices"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/stock"
)

// holdsPage is what is on hold, the form for one more, and the form for the release that was chosen.
type holdsPage struct {
	stock.HoldsAnswer
	Reason  string // that the list is narrowed to
	Reasons []string
	Kinds   []string
	MayHold bool
	Role    auth.Role
	OnKind  string // what the form is about at first
	OnID    string
	Release *stock.HoldRow
}

// May tells whether the person's role may release a hold.
func (p holdsPage) May(h stock.HoldRow) bool { return mayRelease(p.Role, h.HoldAnswer) }

// leaking tells whether one of the holds is for a suspected leak.
func leaking(holds []stock.HoldAnswer) bool {
	return slices.ContainsFunc(holds, func(h stock.HoldAnswer) bool { return h.Reason == stock.LeakSuspected })
}

func mayRelease(role auth.Role, h stock.HoldAnswer) bool { return slices.Contains(h.MayRelease, role) }

// holds lists what is on hold.
func (a *app) holds(c *fiber.Ctx) error {
	answer, err := a.askHolds(c)
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	page, err := a.holdsWith(c, answer, int64(c.QueryInt("release")))
	return a.show(c, "holds", page, err)
}

func (a *app) askHolds(c *fiber.Ctx) (stock.HoldsAnswer, error) {
	after, limit, err := queryPage(c)
	if err != nil {
		return stock.HoldsAnswer{}, err
	}
	return a.Stock.Holds(c.UserContext(), stock.HoldsQuestion{Reason: queryText(c, "reason"), After: after, Limit: limit})
}

// holdsWith makes the page; release is the hold that was chosen to be released, or 0.
func (a *app) holdsWith(c *fiber.Ctx, answer stock.HoldsAnswer, release int64) (holdsPage, error) {
	role := personOf(c).Role
	page := holdsPage{
		HoldsAnswer: answer, Reason: queryText(c, "reason"), Reasons: stock.HoldReasons(), Kinds: stock.HoldKinds(),
		MayHold: auth.Can(role, auth.Hold), Role: role, OnKind: queryText(c, "kind"), OnID: queryText(c, "id"),
	}
	if release == 0 {
		return page, nil
	}
	chosen, err := a.Stock.StandingHold(c.UserContext(), release)
	switch {
	case err == nil:
		page.Release = &chosen
	case problem.KindOf(err) == problem.Missing: // somebody else was first: the list tells
		err = nil
	}
	return page, err
}

func (a *app) holdsForm(release int64) form {
	return func(c *fiber.Ctx) (string, any, error) {
		answer, err := a.askHolds(c)
		if err != nil {
			return "", nil, err
		}
		page, err := a.holdsWith(c, answer, release)
		return "holds", page, err
	}
}

// hold puts something on hold: from the page of a cylinder, which ?at= names, or from the list of what is on hold.
func (a *app) hold(c *fiber.Ctx) error {
	back, to := a.holdsForm(0), "/holds?done="+escape("It is on hold.")
	if tag := c.Query("at"); tag != "" {
		back, to = a.cylinderForm(tag, "hold", 0), toCylinder(tag, "It is on hold.")
	}
	return write(a, c, a.Stock.Hold, func(stock.PlacedHold) string { return to }, back)
}

// release ends a hold, likewise.
func (a *app) release(c *fiber.Ctx) error {
	id, err := idParam(c)
	if err != nil {
		return err
	}
	do := func(ctx context.Context, act auth.Act, o stock.ReleaseOrder) (stock.ReleaseAnswer, error) {
		o.ID = id
		return a.Stock.Release(ctx, act, o)
	}
	back, to := a.holdsForm(id), "/holds?done="+escape("The hold is released.")
	if tag := c.Query("at"); tag != "" {
		back, to = a.cylinderForm(tag, "release", id), toCylinder(tag, "The hold is released.")
	}
	return write(a, c, do, func(stock.ReleaseAnswer) string { return to }, back)
}

package demo

import (
	"cmp"
	"context"
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// answers are what people say to the rules that ask.
var answers = map[string]string{
	"R16": "the lot that expires sooner stays whole for the rounds",
	"R17": "entered by technician B, and read back from the screen",
	"R20": "a spare cylinder stands by at the bench",
	"R28": "every screen compared at the bench: they show these values",
}

// choice is a cylinder with the set that goes along.
type choice struct {
	tag                    unit.Tag
	regulator, tubing, cap string
}

// take takes what is in use already, else what is recommended; it gives nil where there is none.
func (h *house) take(ctx context.Context, s session) (*stock.CheckOutAnswer, error) {
	if out, err := h.takeAgain(ctx, s); out != nil || err != nil {
		return out, err
	}
	answer, err := h.stock().Recommend(ctx, h.people[s.who], s.order())
	if err != nil || answer.Pick == nil {
		return nil, err
	}
	if !s.notFound {
		return h.takePick(ctx, s, *answer.Pick)
	}
	list, err := h.stock().Cylinders(ctx, stock.CylindersQuestion{Item: s.item, Stage: stock.Sealed})
	if err == nil && len(list.Rows) == 0 {
		err = fmt.Errorf("no %s is sealed", s.item)
	}
	if err != nil {
		return nil, err
	}
	return h.takeThis(ctx, s, list.Rows[len(list.Rows)-1].Tag)
}

// takeAgain scans the cylinder that is in use and takes it with the set of the last time. Where a rule is against it or asks,
// it gives nil, and the whole answer is looked at.
func (h *house) takeAgain(ctx context.Context, s session) (*stock.CheckOutAnswer, error) {
	with, usual := h.usual[s.hour+s.item]
	tag, opened := h.inUse[s.item]
	if !usual || !opened || s.notFound {
		return nil, nil
	}
	with.tag = tag
	out, err := h.checkOut(ctx, s, with, nil)
	if problem.KindOf(err) == problem.Refused {
		return nil, nil
	}
	return out, err
}

// takeThis takes a cylinder that somebody chose, with the set that suits it.
func (h *house) takeThis(ctx context.Context, s session, tag unit.Tag) (*stock.CheckOutAnswer, error) {
	pick, err := h.stock().Consider(ctx, h.people[s.who], stock.CheckOutOrder{TakeOrder: s.order(), Cylinder: string(tag), SetToCertified: s.enters})
	if err != nil {
		return nil, err
	}
	return h.takePick(ctx, s, pick)
}

// takePick takes what was looked at with its kit, and answers what is asked about it.
func (h *house) takePick(ctx context.Context, s session, pick stock.Pick) (*stock.CheckOutAnswer, error) {
	reasons := map[string]string{}
	for _, f := range problem.Open(pick.Findings, reasons) {
		reasons[f.Rule] = answers[f.Rule]
	}
	if s.notFound {
		reasons["R16"] = "not found"
	}
	h.fill(pick)
	return h.checkOut(ctx, s, choice{pick.Tag, named(pick.Kit.Regulator), named(pick.Kit.Tubing), named(pick.Kit.Cap)}, reasons)
}

func named(piece *string) string { return *cmp.Or(piece, new(string)) }

func (h *house) checkOut(ctx context.Context, s session, c choice, reasons map[string]string) (*stock.CheckOutAnswer, error) {
	out, err := h.stock().CheckOut(ctx, h.as(s.who), stock.CheckOutOrder{
		TakeOrder: s.order(), Cylinder: string(c.tag), Regulator: c.regulator, Tubing: c.tubing, Cap: c.cap, SetToCertified: s.enters, Reasons: reasons,
	})
	if err != nil {
		return nil, fmt.Errorf("taking %s: %w", c.tag, err)
	}
	h.usual[s.hour+s.item], h.inUse[s.item] = c, c.tag
	return &out, nil
}

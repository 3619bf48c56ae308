package demo

import (
	"context"

	"spanroom/internal/catalogue"
	"spanroom/internal/stock"
)

// One monitor broke in the year, and is out of service since.
const (
	broken      = "D-037"
	brokenSince = -52
)

// changes are what became of the fleet in the year.
func (h *house) changes() []scene {
	return []scene{
		{brokenSince, "07:00", "a monitor breaks", h.retire},
		{newerCame, "07:00", "newer monitors come", h.welcome},
		{-33, "09:00", "a filter is due", h.dateFilter},
		{-1, "15:10", "the spare is set to another lot", h.enterSetValue},
	}
}

// welcome makes the newer monitors with their round.
func (h *house) welcome(ctx context.Context) error {
	return h.catalogue(ctx, newcomers(), []catalogue.Order{newRound()})
}

func (h *house) retire(ctx context.Context) error {
	return amend(ctx, h, supervisor, "instruments", broken, func(i *catalogue.Instrument) {
		i.OutOfService, i.Note = true, "Dropped at Stoke Reach; waits for a new case."
	})
}

func (h *house) dateFilter(ctx context.Context) error {
	return amend(ctx, h, supervisor, "instruments", "P-003", func(i *catalogue.Instrument) { i.FilterDueOn = h.clock.day(6) })
}

// enterSetValue calibrates the spare with the lot that is weak in H2S, to whose value it is set from then on: with other
// four-gas it would read wrong.
func (h *house) enterSetValue(ctx context.Context) error {
	list, err := h.stock().Cylinders(ctx, stock.CylindersQuestion{Text: weakLot, Stage: stock.Sealed, Limit: 1})
	if err != nil || len(list.Rows) == 0 {
		return err
	}
	s := fourGasAt("", technicianB, line{calQ4, []string{spare}})
	s.enters = true
	return h.testWith(ctx, s, list.Rows[0].Tag)
}

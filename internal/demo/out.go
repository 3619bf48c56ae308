package demo

import (
	"context"

	"spanroom/internal/stock"
)

// forget sends a cylinder of ammonia out with van 2, where it stays beyond its day with the second set.
func (h *house) forget(ctx context.Context) error {
	list, err := h.stock().Cylinders(ctx, stock.CylindersQuestion{Item: ammonia, Stage: stock.Sealed, Limit: 1})
	if err != nil || len(list.Rows) == 0 {
		return err
	}
	tag := string(list.Rows[0].Tag)
	if _, err := h.stock().Move(ctx, h.as(clerk), stock.MoveOrder{Tag: tag, Place: van2}); err != nil {
		return err
	}
	h.clock.wait(20)
	s := coldholmWith(line{bumpNH, ammoniaFleet})
	s.place = van2
	order := stock.CheckOutOrder{TakeOrder: s.order(), Cylinder: tag, Regulator: "R-10", Tubing: "T-07", Cap: "CAP-N2"}
	order.Until = h.clock.day(-5)
	out, err := h.stock().CheckOut(ctx, h.as(s.who), order)
	if err != nil {
		return err
	}
	h.clock.wait(60)
	return h.log(ctx, s.who, out.ID, s.lines[0])
}

// begin takes four-gas for today's round, of which some tests are done.
func (h *house) begin(ctx context.Context) error {
	s := stoke(0)[0]
	out, err := h.take(ctx, s)
	if err != nil || out == nil {
		return err
	}
	return h.log(ctx, s.who, out.ID, line{bumpQ4, diffusion[:9]})
}

// log records tests one by one while the cylinder is out.
func (h *house) log(ctx context.Context, by string, checkout int64, l line) error {
	for _, serial := range l.instruments {
		h.clock.wait(2)
		_, err := h.stock().LogTests(ctx, h.as(by), stock.TestLogOrder{Checkout: checkout, Instrument: serial, Procedure: l.procedure, Result: stock.Pass})
		if err != nil {
			return err
		}
	}
	return nil
}

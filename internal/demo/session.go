package demo

import (
	"context"
	"fmt"
	"slices"

	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// session is one outing of a cylinder: what it is for, who goes, and when.
type session struct {
	hour, who, item string
	place           string // from where, and to where it comes back
	lines           []line
	setStays        bool    // the regulator set is left on the cylinder
	enters          bool    // the instruments are set to what the certificate says
	least           float64 // with fewer litres left the cylinder is spent
	lost            float64 // litres that left besides, through a regulator that was left on
	notFound        bool    // the pick is not found, and a later one is taken
	noGauge         bool    // nobody had a gauge at the return
}

// line is a procedure for a number of instruments.
type line struct {
	procedure   string
	instruments []string
}

// order asks for gas for the lines on their instruments.
func (s session) order() stock.TakeOrder {
	order := stock.TakeOrder{Item: s.item, Place: s.place}
	for _, l := range s.lines {
		order.Tests = append(order.Tests, stock.TestOrder{Procedure: l.procedure, Count: int64(len(l.instruments))})
		for _, serial := range l.instruments {
			if !slices.Contains(order.Instruments, serial) {
				order.Instruments = append(order.Instruments, serial)
			}
		}
	}
	return order
}

// minutes is how long it takes to set up, and to test one after the other.
func (s session) minutes() int {
	minutes := 20
	for _, l := range s.lines {
		minutes += 3 * len(l.instruments)
	}
	return minutes
}

// test plays a session: take, test, bring back. Where no cylinder will do the round is not walked.
func (h *house) test(ctx context.Context, s session) error {
	out, err := h.take(ctx, s)
	if err != nil || out == nil {
		return err
	}
	return h.walk(ctx, s, *out)
}

// testWith plays a session with a cylinder that somebody chose.
func (h *house) testWith(ctx context.Context, s session, tag unit.Tag) error {
	out, err := h.takeThis(ctx, s, tag)
	if err != nil {
		return err
	}
	return h.walk(ctx, s, *out)
}

// walk logs the tests at the return and reads the gauge. What left the cylinder is what was logged, give or take.
func (h *house) walk(ctx context.Context, s session, out stock.CheckOutAnswer) error {
	h.clock.wait(s.minutes())
	left, goesOn := h.inside[out.Tag].draw(h.litres(s)*(1+h.luck(0.02))+s.lost, s.least)
	h.inside[out.Tag] = left
	order := stock.ReturnOrder{
		Checkout: out.ID, Place: s.place, Pressure: bar(left.bar), Temperature: "room", Gauge: "digital", Spent: !goesOn, Tests: h.results(s), Reasons: map[string]string{},
	}
	order.SetLeftOn = s.setStays && goesOn
	if s.noGauge {
		order.Pressure, order.Temperature, order.Gauge = "", "", ""
	}
	if s.lost > 0 {
		order.Reasons["R32"] = stock.LeftOn
	}
	back, err := h.stock().Return(ctx, h.as(s.who), order)
	if err != nil {
		return fmt.Errorf("returning %s: %w", out.Tag, err)
	}
	if back.Stage != stock.Spent {
		return nil
	}
	delete(h.inUse, s.item)
	_, err = h.stock().Move(ctx, h.as(s.who), stock.MoveOrder{Tag: string(out.Tag), Place: spentPlace})
	return err
}

// bar writes a pressure as a digital gauge shows it.
func bar(pressure float64) unit.Typed { return unit.Typed(fmt.Sprintf("%.1f bar", pressure)) }

package demo

import (
	"context"
	"fmt"
	"math"

	"spanroom/internal/problem"
	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// session is one outing of a cylinder: what it is for, who goes, and with what.
type session struct {
	hour, who, item   string
	place             string // from where, and to where it comes back
	regulator, tubing string
	lines             []line
	least             float64 // with fewer litres left the cylinder is spent
	lost              float64 // litres that left besides, through a regulator that was left on
	notFound          bool    // the pick is not found, and a later one is taken
	noGauge           bool    // nobody had a gauge at the return
}

// line is a procedure for a number of instruments.
type line struct {
	procedure   string
	instruments []string
}

func (s session) order() stock.TakeOrder {
	order := stock.TakeOrder{Item: s.item, Place: s.place}
	for _, l := range s.lines {
		order.Tests = append(order.Tests, stock.TestOrder{Procedure: l.procedure, Count: int64(len(l.instruments))})
	}
	return order
}

// test plays a session: ask, take, test, bring back. Where no cylinder will do the round is not walked.
func (h *house) test(ctx context.Context, s session) error {
	out, err := h.take(ctx, s)
	if err != nil || out == nil {
		return err
	}
	h.clock.wait(155)
	return h.bringBack(ctx, s, *out)
}

// held is a cylinder in somebody's hand.
type held struct {
	tag unit.Tag
	stock.LastReading
	stock.UsableAnswer
}

// outing is a cylinder that is out, with what only the author of the demo knows: the pressure that is really in it.
type outing struct {
	stock.CheckOutAnswer
	bar, barPerL, cutoff float64
}

// take asks for a cylinder and takes the one that is named; it gives nil where there is none.
func (h *house) take(ctx context.Context, s session) (*outing, error) {
	answer, err := h.stock().Recommend(ctx, h.people[s.who], s.order())
	if err != nil || answer.Pick == nil {
		return nil, err
	}
	hand := held{answer.Pick.Tag, answer.Pick.LastReading, answer.Pick.UsableAnswer}
	reasons := map[string]string{}
	for _, f := range problem.Open(answer.Pick.Findings, reasons) {
		reasons[f.Rule] = "a spare cylinder is in the van"
	}
	if s.notFound {
		reasons["R16"] = "not found"
		if hand, err = h.latest(ctx, s.item); err != nil {
			return nil, err
		}
	}
	taken, err := h.stock().CheckOut(ctx, h.as(s.who), stock.CheckOutOrder{
		TakeOrder: s.order(), Cylinder: string(hand.tag), Regulator: s.regulator, Tubing: s.tubing, Reasons: reasons,
	})
	if err != nil {
		return nil, fmt.Errorf("taking %s: %w", hand.tag, err)
	}
	return h.outing(taken, hand), nil
}

// outing makes up what is really in a cylinder: what was read, or about the fill where nobody has opened it.
func (h *house) outing(taken stock.CheckOutAnswer, hand held) *outing {
	bar := *hand.PressureBar
	if hand.PressureSource == stock.Fill {
		bar += h.luck(0.6)
	}
	return &outing{taken, bar, (*hand.PressureBar - hand.Cutoff.Bar) / *hand.UsableL, hand.Cutoff.Bar}
}

// latest gives the sealed cylinder of an item that expires last.
func (h *house) latest(ctx context.Context, item string) (held, error) {
	list, err := h.stock().Cylinders(ctx, stock.CylindersQuestion{Item: item, Stage: stock.Sealed})
	if err == nil && len(list.Rows) == 0 {
		err = fmt.Errorf("no %s is sealed", item)
	}
	if err != nil {
		return held{}, err
	}
	tag := list.Rows[len(list.Rows)-1].Tag
	c, err := h.stock().Cylinder(ctx, string(tag), stock.CylinderQuestion{})
	return held{tag, c.LastReading, c.UsableAnswer}, err
}

// bringBack logs the tests and reads the gauge. What left the cylinder is what was logged, give or take.
func (h *house) bringBack(ctx context.Context, s session, out outing) error {
	left := out.bar - out.barPerL*(out.NeedL*(1+h.luck(0.02))+s.lost)
	order := stock.ReturnOrder{
		Checkout: out.ID, Place: s.place, Pressure: bar(left), Temperature: "room", Gauge: "digital", Tests: h.results(s), Reasons: map[string]string{},
	}
	if left < out.cutoff+out.barPerL*s.least {
		order.Spent, order.Place = true, spentPlace
	}
	if s.noGauge {
		order.Pressure, order.Temperature, order.Gauge = "", "", ""
	}
	if s.lost > 0 {
		order.Reasons["R32"] = stock.LeftOn
	}
	if _, err := h.stock().Return(ctx, h.as(s.who), order); err != nil {
		return fmt.Errorf("returning %s: %w", out.Tag, err)
	}
	return nil
}

// bar writes a pressure as a digital gauge shows it.
func bar(pressure float64) unit.Typed { return unit.Typed(fmt.Sprintf("%.1f bar", pressure)) }

// luck gives a figure up to a size either way, the same in every run.
func (h *house) luck(size float64) float64 {
	h.throws++
	return size * math.Sin(float64(h.throws)*2.399)
}

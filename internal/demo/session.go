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
	day               int
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

// test plays a session: ask, take, test, bring back.
func (h *house) test(ctx context.Context, s session) (stock.ReturnAnswer, error) {
	out, err := h.take(ctx, s)
	if err != nil || out == nil {
		return stock.ReturnAnswer{}, err
	}
	h.clock.wait(155)
	return h.bringBack(ctx, s, *out)
}

// outing is a cylinder that is out, with what nobody but the author of the demo knows: how much is really in it.
type outing struct {
	stock.CheckOutAnswer
	bar, barPerL float64
}

// take asks for a cylinder and takes the one that is named. It gives nil where there is none: that round is not walked.
func (h *house) take(ctx context.Context, s session) (*outing, error) {
	order := stock.TakeOrder{Item: s.item, Place: s.place}
	for _, l := range s.lines {
		order.Tests = append(order.Tests, stock.TestOrder{Procedure: l.procedure, Count: int64(len(l.instruments))})
	}
	answer, err := h.stock().Recommend(ctx, h.people[s.who], order)
	if err != nil || answer.Pick == nil {
		h.idle++
		return nil, err
	}
	pick, reasons := *answer.Pick, map[string]string{}
	if s.notFound && len(answer.Alternatives) > 0 {
		pick = answer.Alternatives[len(answer.Alternatives)-1]
		reasons["R16"] = "not found"
	}
	for _, f := range problem.Open(pick.Findings, reasons) {
		reasons[f.Rule] = "a spare cylinder is in the van"
	}
	taken, err := h.stock().CheckOut(ctx, h.as(s.who), stock.CheckOutOrder{
		TakeOrder: order, Cylinder: string(pick.Tag), Regulator: s.regulator, Tubing: s.tubing, Reasons: reasons,
	})
	if err != nil {
		return nil, fmt.Errorf("taking %s: %w", pick.Tag, err)
	}
	bar := *pick.PressureBar
	if pick.PressureSource == stock.Fill {
		bar += h.luck(0.6)
	}
	return &outing{taken, bar, (*pick.PressureBar - pick.Cutoff.Bar) / *pick.UsableL}, nil
}

// luck gives a small figure either way, the same in every run.
func (h *house) luck(size float64) float64 {
	h.throws++
	return size * math.Sin(float64(h.throws)*2.399)
}

// bringBack reads the gauge and logs the tests. What left the cylinder is what was logged, give or take.
func (h *house) bringBack(ctx context.Context, s session, out outing) (stock.ReturnAnswer, error) {
	order := stock.ReturnOrder{Checkout: out.ID, Place: s.place, Temperature: "21 C", Gauge: "digital", Reasons: map[string]string{}}
	order.Tests = h.results(s)
	left := out.bar - out.barPerL*(out.NeedL*(1+h.luck(0.02))+s.lost)
	order.Pressure = unit.Typed(fmt.Sprintf("%.1f bar", left))
	order.Spent = left < 3.5+out.barPerL*s.least
	if order.Spent {
		order.Place = spentPlace
	}
	if s.noGauge {
		order.Pressure, order.Temperature, order.Gauge = "", "", ""
	}
	if s.lost > 0 {
		order.Reasons["R32"] = stock.LeftOn
	}
	answer, err := h.stock().Return(ctx, h.as(s.who), order)
	if err != nil {
		return answer, fmt.Errorf("returning %s: %w", out.Tag, err)
	}
	return answer, nil
}

// results are the lines of tests. Now and then one fails, is done again, and fails again.
func (h *house) results(s session) []stock.TestLogOrder {
	var all []stock.TestLogOrder
	for _, l := range s.lines {
		for _, serial := range l.instruments {
			h.tests++
			one := stock.TestLogOrder{Instrument: serial, Procedure: l.procedure, Result: stock.Pass}
			if h.tests%211 == 0 {
				one.Result, one.AsFound = stock.Fail, "no alarm within 30 s"
			}
			all = append(all, one)
		}
	}
	return all
}

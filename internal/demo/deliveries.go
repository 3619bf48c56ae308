package demo

import (
	"context"

	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// delivery is a lot as it came; its days are counted from today.
type delivery struct {
	day             int
	supplier, item  string
	lot             string
	place           string
	counted, noted  int64
	filled, expires int
	paper           string     // number of the certificate, "" where it is missing
	values          []string   // certified, in the order of the blend
	dented          bool       // one of them
	accepted        string     // why the purchaser took it although it was short-dated
	read            unit.Typed // what the gauge showed of stock that somebody had opened before, nobody knows when
}

// deliveries are what came in the year.
func (h *house) deliveries() []scene {
	var scenes []scene
	for _, d := range delivered() {
		scenes = append(scenes, scene{d.day, "09:20", "delivery of " + d.lot, func(ctx context.Context) error { return h.receive(ctx, d) }})
	}
	return scenes
}

// receive books a delivery, and lets the purchaser take what came short-dated.
func (h *house) receive(ctx context.Context, d delivery) error {
	order := stock.ReceiveOrder{
		Supplier: d.supplier, Item: d.item, Lot: d.lot, Counted: d.counted, FilledOn: h.clock.day(d.filled), LabelExpiresOn: h.clock.day(d.expires),
		Place: d.place, Certificate: h.certificate(d),
	}
	if order.Opened = d.read != ""; order.Opened {
		order.Pressure, order.Gauge, order.Temperature = d.read, "digital", "room"
	}
	if d.noted > 0 {
		order.Noted = &d.noted
	}
	if d.dented {
		order.Cylinders = []stock.ReceiveCylinder{{Checks: stock.ReceiveChecks{Dents: true}}}
	}
	receipt, err := h.stock().Receive(ctx, h.as(clerk), order)
	if err != nil {
		return err
	}
	if d.accepted == "" {
		return nil
	}
	h.clock.wait(90)
	return h.release(ctx, purchaser, receipt.Lot.Holds, stock.ShortDated, d.accepted)
}

func (h *house) certificate(d delivery) *stock.CertificateOrder {
	if d.paper == "" {
		return nil
	}
	paper := &stock.CertificateOrder{Number: d.paper, IssuedOn: h.clock.day(d.filled + 4), ExpiresOn: h.clock.day(d.expires)}
	for i, value := range d.values {
		c := certified[d.item][i]
		paper.Values = append(paper.Values, stock.ValueOrder{Component: c.component, Amount: unit.Typed(value), Uncertainty: c.uncertainty})
	}
	if len(d.values) == 0 {
		paper.Kind = stock.Conformity
	}
	return paper
}

// certified are the components that certificates give values of, with the expanded uncertainty of the making.
var certified = map[string][]struct {
	component   string
	uncertainty unit.Typed
}{
	fourGas:  {{"CH4", "0.05 %vol"}, {"O2", "0.2 %vol"}, {"CO", "2 ppm"}, {"H2S", "0.5 ppm"}},
	chlorine: {{"Cl2", "0.5 ppm"}},
	ammonia:  {{"NH3", "2 %rel"}},
}

package demo

import (
	"context"
	"fmt"
	"slices"

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
	paper           string   // number of the certificate, "" where it is missing
	values          []string // certified, in the order of the blend
	dented          bool     // one of them
	accepted        string   // why the purchaser took it although it was short-dated
}

// deliveries are what came in the year.
func (h *house) deliveries() []scene {
	var scenes []scene
	for _, d := range delivered() {
		scenes = append(scenes, scene{d.day, "09:20", "delivery of " + d.lot, func(ctx context.Context) error { return h.receive(ctx, d) }})
	}
	return scenes
}

func delivered() []delivery {
	const credit = "accepted at a credit of 15 %, by telephone with the supplier"
	return []delivery{
		{day: -364, supplier: northbank, item: fourGas, lot: "6H-1180", place: cage, counted: 8, filled: -392, expires: -27, paper: "C-8120", values: []string{"2.51 %vol", "18.1 %vol", "101 ppm", "25.2 ppm"}},
		{day: -363, supplier: northbank, item: zeroAir, lot: "Z-0311", place: shelfA, counted: 2, filled: -400, expires: 330, paper: "C-8099"},
		{day: -362, supplier: ferrow, item: chlorine, lot: "3E5", place: cabinet, counted: 2, filled: -380, expires: -15, paper: "F-20611", values: []string{"9.9 ppm"}},
		{day: -362, supplier: ferrow, item: ammonia, lot: "FN-1190", place: cabinet, counted: 2, filled: -385, expires: -20, paper: "F-20612", values: []string{"50.4 ppm"}},
		{day: -273, supplier: northbank, item: fourGas, lot: "6L-0042", place: cage, counted: 6, noted: 8, filled: -301, expires: 64, paper: "C-8377", values: []string{"2.49 %vol", "17.9 %vol", "99 ppm", "24.8 ppm"}},
		{day: -266, supplier: ferrow, item: chlorine, lot: "3F1", place: cabinet, counted: 2, filled: -280, expires: 85, paper: "F-20874", values: []string{"10.1 ppm"}},
		{day: -215, supplier: northbank, item: fourGas, lot: "7B-0915", place: cage, counted: 6, filled: -240, expires: 125, paper: "C-8502", values: []string{"2.50 %vol", "18.0 %vol", "102 ppm", "24.6 ppm"}},
		{day: -196, supplier: ferrow, item: ammonia, lot: "7K-2206", place: cabinet, counted: 2, filled: -210, expires: 155, paper: "F-21055", values: []string{"49.6 ppm"}},
		{day: -192, supplier: northbank, item: chlorine, lot: "7C-4410", place: cabinet, counted: 3, filled: -205, expires: 160, paper: "C-8571", values: []string{"9.8 ppm"}},
		{day: -180, supplier: northbank, item: zeroAir, lot: "Z-0502", place: shelfA, counted: 2, filled: -230, expires: 500, paper: "C-8590"},
		{day: -160, supplier: northbank, item: fourGas, lot: "7K-2206", place: cage, counted: 12, filled: -344, expires: 21, paper: "C-8814", values: []string{"2.52 %vol", "18.1 %vol", "100 ppm", "24.6 ppm"}},
		{day: -98, supplier: northbank, item: chlorine, lot: "7F-4702", place: cabinet, counted: 2, filled: -120, expires: 49, paper: "C-8903", values: []string{"9.7 ppm"}, accepted: credit},
		{day: -27, supplier: northbank, item: fourGas, lot: "8A-0077", place: cage, counted: 6, filled: -48, expires: 317, paper: "C-9120", values: []string{"2.50 %vol", "17.9 %vol", "101 ppm", "25.1 ppm"}, dented: true},
		{day: -9, supplier: northbank, item: chlorine, lot: "8A-4811", place: cabinet, counted: 2, filled: -40, expires: 131, paper: "C-9166", values: []string{"10.0 ppm"}},
		{day: -6, supplier: ferrow, item: fourGas, lot: "FQ-2291", place: quar, counted: 6, filled: -20, expires: 345},
	}
}

// receive books a delivery, and lets the purchaser take what came short-dated.
func (h *house) receive(ctx context.Context, d delivery) error {
	order := stock.ReceiveOrder{
		Supplier: d.supplier, Item: d.item, Lot: d.lot, Counted: d.counted, FilledOn: h.clock.day(d.filled), LabelExpiresOn: h.clock.day(d.expires),
		Place: d.place, Certificate: h.certificate(d),
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
	for _, c := range receipt.Cylinders {
		h.lots[d.lot] = append(h.lots[d.lot], c.Tag)
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

// release ends a hold of a reason among those that stand.
func (h *house) release(ctx context.Context, by string, holds []stock.HoldAnswer, reason, evidence string) error {
	at := slices.IndexFunc(holds, func(hold stock.HoldAnswer) bool { return hold.Reason == reason })
	if at < 0 {
		return fmt.Errorf("there is no hold for %q to release", reason)
	}
	_, err := h.stock().Release(ctx, h.as(by), stock.ReleaseOrder{ID: holds[at].ID, Evidence: evidence})
	return err
}

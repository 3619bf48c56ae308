package stock

import (
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// goodsIn is the setting with what else can be delivered: a refillable, a filter, tubing by the metre.
func goodsIn(t *testing.T, s *store.Store) *harrowmere {
	t.Helper()
	h := settle(t, s)
	h.make(
		&catalogue.Item{Code: "Q4-R", Name: "four-gas, refillable", Kind: catalogue.Gas, Blend: "Q4", WaterVolume: "10 L", FillPressure: "69 bar", Outlet: "C-10", Refillable: true},
		&catalogue.Item{Code: "FILTER-H", Kind: "filter", Name: "hydrophobic filter"},
		&catalogue.Item{Code: "TUBE", Kind: "tubing", CountedIn: "m"},
	)
	return h
}

// chlorine is four cylinders of CL whose use-by the site's cap sets.
func chlorine() ReceiveOrder {
	return ReceiveOrder{Supplier: "northbank", Item: "CL", Lot: "C-77", Counted: 4, FilledOn: "2026-08-10", Place: "CAB-T",
		Certificate: &CertificateOrder{Number: "C-90", IssuedOn: "2026-08-12", ExpiresOn: "2027-08-10", Values: []ValueOrder{{"Cl2", "10.2 ppm", "0.5 ppm"}}}}
}

func (h *harrowmere) must(err error) {
	h.t.Helper()
	if err != nil {
		h.t.Fatal(err)
	}
}

// book books a delivery that has to go through.
func (h *harrowmere) book(o ReceiveOrder) ReceiptAnswer {
	h.t.Helper()
	answer, err := h.Receive(h.ctx(), h.act("clerk"), o)
	h.must(err)
	return answer
}

// refused books a delivery that a rule has to refuse, with these words.
func (h *harrowmere) refused(o ReceiveOrder, part string) {
	h.t.Helper()
	_, err := h.Receive(h.ctx(), h.act("clerk"), o)
	h.wants(err, problem.Refused, part)
}

// tags lists the tags of all cylinders of an item.
func (h *harrowmere) tags(item string) []unit.Tag {
	h.t.Helper()
	i, err := h.Store.ItemByCode(h.ctx(), item)
	h.must(err)
	rows, err := h.Store.Cylinders(h.ctx(), store.CylinderFilter{ItemIDs: []int64{i.ID}})
	h.must(err)
	var tags []unit.Tag
	for _, c := range rows {
		tags = append(tags, c.Tag)
	}
	return tags
}

// stages gives the stages of the cylinders of a delivery as they are now.
func (h *harrowmere) stages(receipt int64) []string {
	h.t.Helper()
	a, err := h.Receipt(h.ctx(), receipt)
	h.must(err)
	var stages []string
	for _, c := range a.Cylinders {
		stages = append(stages, c.Stage)
	}
	return stages
}

// end ends a hold as a release does, without asking who may and on what evidence.
func (h *harrowmere) end(hold int64) {
	h.t.Helper()
	h.tx(func(tx *store.Store) error {
		m, err := h.moment(h.ctx(), tx)
		if err != nil {
			return err
		}
		row, err := tx.HoldByID(h.ctx(), hold)
		if err != nil {
			return err
		}
		row.ReleasedAt, row.ReleasedBy = m.at, "supervisor"
		return keepRelease(h.ctx(), tx, m, h.act("supervisor"), row)
	})
}

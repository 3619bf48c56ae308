package demo

import (
	"context"

	"spanroom/internal/stock"
)

// counter is what goes over the clerk's desk besides gas: consumables come, and are handed out in small numbers.
func (h *house) counter() []scene {
	scenes := []scene{
		h.restock(-358, stock.ReceiveOrder{Supplier: northbank, Item: filter, Counted: 20}),
		h.restock(-358, stock.ReceiveOrder{Supplier: northbank, Item: tube, Quantity: "25 m"}),
		h.restock(-357, stock.ReceiveOrder{Supplier: ferrow, Item: calCap, Counted: 6}),
		h.restock(-190, stock.ReceiveOrder{Supplier: northbank, Item: filter, Counted: 20}),
		h.restock(-104, stock.ReceiveOrder{Supplier: ferrow, Item: calCap, Counted: 4}),
	}
	for n := range 24 { // 36 filters of 40
		day := -350 + 14*n
		scenes = append(scenes, h.handOut(day, clerk, technicianA, stock.IssueOrder{Item: filter, Counted: int64(1 + n%2)}))
		if n%2 == 0 {
			scenes = append(scenes, h.handOut(day, clerk, technicianB, stock.IssueOrder{Item: tube, Quantity: "1.5 m"}))
		}
		if n%4 == 0 {
			scenes = append(scenes, h.handOut(day, clerk, technicianA, stock.IssueOrder{Item: calCap, Counted: 1}))
		}
	}
	// The book has four filters, and six are in his hand.
	return append(scenes, h.handOut(-3, technicianB, technicianB, stock.IssueOrder{Item: filter, Counted: 6}))
}

func (h *house) restock(day int, o stock.ReceiveOrder) scene {
	o.Place = shelfA
	return scene{day, "15:00", "delivery of " + o.Item, func(ctx context.Context) error {
		_, err := h.stock().Receive(ctx, h.as(clerk), o)
		return err
	}}
}

func (h *house) handOut(day int, by, to string, o stock.IssueOrder) scene {
	o.Place, o.To = shelfA, to
	return scene{day, "06:50", "handing out " + o.Item, func(ctx context.Context) error {
		_, err := h.stock().Issue(ctx, h.as(by), o)
		return err
	}}
}

package stock

import (
	"context"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// ReceiptsAnswer is a part of the list of deliveries, newest first; Next is where to go on, 0 at the end.
type ReceiptsAnswer struct {
	Rows []ReceiptRow `json:"rows"`
	Next int64        `json:"next"`
}

// ReceiptRow is one delivery in the list. OnHold counts its cylinders that wait for the release of a hold of goods in.
type ReceiptRow struct {
	Receipt      int64   `json:"receipt"`
	ReceivedAt   string  `json:"received_at"`
	By           string  `json:"by"`
	Supplier     string  `json:"supplier"`
	SupplierName string  `json:"supplier_name"`
	Item         string  `json:"item"`
	ItemName     string  `json:"item_name"`
	Lot          string  `json:"lot"`
	Place        string  `json:"place"`
	Counted      int64   `json:"counted"`
	QuantityM    float64 `json:"quantity_m"`
	OnHold       int64   `json:"on_hold"`
}

// Receipts lists deliveries, those before one, or the latest for 0.
func (r Room) Receipts(ctx context.Context, before int64, limit int) (ReceiptsAnswer, error) {
	if limit <= 0 {
		limit = usualRows
	}
	limit = min(limit, mostRows)
	lines, err := r.Store.Receipts(ctx, before, limit+1)
	if err != nil {
		return ReceiptsAnswer{}, err
	}
	a := ReceiptsAnswer{Rows: []ReceiptRow{}}
	if len(lines) > limit {
		lines = lines[:limit]
		a.Next = lines[limit-1].ID
	}
	for _, l := range lines {
		row := ReceiptRow{
			Receipt: l.ID, ReceivedAt: l.ReceivedAt.String(), By: l.ByName, Supplier: l.Supplier, SupplierName: l.SupplierName,
			Item: l.Item, ItemName: l.ItemName, Lot: l.Lot, Place: l.Place, OnHold: l.OnHold,
		}
		row.Counted, row.QuantityM = inItsUnit(l.Quantity, l.CountedIn)
		a.Rows = append(a.Rows, row)
	}
	return a, nil
}

// ReceiveItem is an item as the form of goods in needs it: for gas with the components that a certificate must name.
type ReceiveItem struct {
	Code, Name string
	Gas        bool
	Metres     bool // sold by the metre
	Size       string
	Fill       string
	Components []ReceiveComponent
	Meant      string // what a typed pressure that cannot be was likely meant as: "1000 psi"
}

// ReceiveComponent is one line of the certificate as it should read, with the unit that is usual for it.
type ReceiveComponent struct{ Code, Nominal, Unit string }

// ReceiveItem gives an item for the form, held against a pressure where one was typed; nil where there is no such item.
func (r Room) ReceiveItem(ctx context.Context, code string, pressure unit.Typed) (*ReceiveItem, error) {
	item, err := r.Store.ItemByCode(ctx, code)
	if problem.KindOf(err) == problem.Missing {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	f := &ReceiveItem{Code: item.Code, Name: item.Name, Gas: item.Kind == catalogue.Gas, Metres: item.CountedIn == catalogue.InMetres}
	if !f.Gas || item.BlendID == nil {
		return f, nil
	}
	f.Size, f.Fill = sizeOf(cylinder{item: item}), barWords(item.FillPressure)
	if name, _ := nearestPressure(item, pressure); name != "" {
		f.Meant = figureOf(string(pressure)) + " " + name
	}
	parts, err := r.Store.BlendComponents(ctx, *item.BlendID)
	f.Components = formComponents(parts)
	return f, err
}

// formComponents are the lines of a certificate of a blend.
func formComponents(parts []store.BlendComponent) []ReceiveComponent {
	var lines []ReceiveComponent
	for _, p := range parts {
		nominal := inUnitOf(p.Amount, p.Amount)
		_, usual, _ := strings.Cut(nominal, " ")
		lines = append(lines, ReceiveComponent{p.Code, nominal, usual})
	}
	return lines
}

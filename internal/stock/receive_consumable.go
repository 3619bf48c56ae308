package stock

import (
	"context"
	"fmt"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// consumable books what has no lot and no tag: it is counted each, or measured where it is sold by the metre.
func (in intake) consumable(ctx context.Context, o ReceiveOrder) (ReceiptAnswer, error) {
	quantity, err := readConsumable(in.moment, in.names, o)
	if err != nil {
		return ReceiptAnswer{}, err
	}
	item := in.names.item
	var findings []problem.Finding
	if item.CountedIn == catalogue.InEach {
		findings = counted(quantity, o.Noted, "piece", o.Order)
	}
	receipt := models.Receipt{Quantity: quantity, CountedIn: item.CountedIn}
	if err := in.keepReceipt(ctx, o, findings, &receipt); err != nil {
		return ReceiptAnswer{}, err
	}
	e := in.entry(in.act, "receive", inOneLine(o.Reasons))
	e.Subject, e.Place, e.Quantity, e.Unit = "item:"+item.Code, in.names.place.Code, quantity, ledgerUnit(item)
	if err := in.tx.AddBalance(ctx, item.ID, in.names.place.ID, e); err != nil {
		return ReceiptAnswer{}, err
	}
	return receiptAnswer(ctx, in.tx, in.moment, receipt.ID)
}

// ledgerUnit is the unit in which the ledger keeps a consumable.
func ledgerUnit(item models.Item) string {
	if item.CountedIn == catalogue.InMetres {
		return "mm"
	}
	return "each"
}

const mostMillimetres = 10_000_000 // ten kilometres

// readConsumable reads how much of a consumable came: pieces, or millimetres.
func readConsumable(m moment, names receivedNames, o ReceiveOrder) (int64, error) {
	r := &orderReader{moment: m, names: names, wrong: names.wrong}
	r.text("order", o.Order, longestName)
	r.reasons(o.Reasons)
	r.onlyForGas(o)
	if names.item.CountedIn != catalogue.InMetres {
		r.counts(o)
		if o.Quantity != "" {
			r.wrong.Add("quantity", names.item.Code+" is counted, not measured", "give the number of pieces as counted")
		}
		return o.Counted, r.wrong.Err()
	}
	if o.Counted != 0 {
		r.wrong.Add("counted", names.item.Code+" is sold by the metre", `give its length as quantity, such as "25 m"`)
	}
	length := int64(quantityOf(r, "quantity", o.Quantity, unit.ParseLength))
	switch {
	case o.Quantity == "":
		r.wrong.Add("quantity", "the length is not given", `write it with its unit, such as "25 m"`)
	case len(r.wrong) == 0 && (length < 1 || length > mostMillimetres):
		r.wrong.Add("quantity", fmt.Sprintf("%s is out of range", o.Quantity), "give a length from 1 mm to 10 km")
	}
	return length, r.wrong.Err()
}

// onlyForGas refuses what a consumable does not have, so that nothing that was typed is dropped in silence.
func (r *orderReader) onlyForGas(o ReceiveOrder) {
	for _, field := range []struct {
		name  string
		given bool
	}{
		{"lot", o.Lot != ""}, {"filled_on", o.FilledOn != ""}, {"assayed_on", o.AssayedOn != ""}, {"valid_months", o.ValidMonths != nil},
		{"label_expires_on", o.LabelExpiresOn != ""}, {"opened", o.Opened}, {"opened_on", o.OpenedOn != ""}, {"pressure", o.Pressure != ""}, {"temperature", o.Temperature != ""}, {"gauge", o.Gauge != ""},
		{"serials", len(o.Serials) > 0}, {"cylinders", len(o.Cylinders) > 0}, {"certificate", !o.Certificate.blank()},
	} {
		if field.given {
			r.wrong.Add(field.name, fmt.Sprintf("%s is no gas", r.names.item.Code), "leave it out, or choose the gas that came")
		}
	}
}

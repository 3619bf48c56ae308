package workbook

import (
	"fmt"

	"spanroom/internal/purchase"
)

var stockColumns = []column{
	{key: "key", head: "line key", width: 12, format: text},
	{key: "product", head: "our product", width: 24, format: words},
	{key: "supplier", head: "supplier of the lot", width: 18, format: text},
	{key: "lot", head: "lot", width: 16, format: text},
	{key: "until", head: "site use-by", width: 12, format: day},
	{key: "limited", head: "limited by", width: 36, format: words},
	{key: "sealed", head: "unopened", width: 10, format: whole},
	{key: "opened", head: "part used", width: 10, format: whole},
	{key: "units", head: "units on hand", width: 10, format: cents},
	{key: "used", head: "used before use-by", width: 11, format: cents},
	{key: "expire", head: "expected to expire", width: 11, format: cents},
	{key: "held", head: "not counted, because", width: 26, format: words},
}

const stockHeads = 3

// stockRow is one lot of a line.
type stockRow struct {
	purchase.Lot
	line purchase.Line
}

func stockRows(plan purchase.PlanAnswer) []stockRow {
	var rows []stockRow
	for _, l := range plan.Lines {
		for _, lot := range l.Lots {
			rows = append(rows, stockRow{lot, l})
		}
	}
	return rows
}

// writeStock writes the stock that the order sheet adds up.
func (b *book) writeStock() error {
	rows := stockRows(b.plan)
	t, err := b.openTable(stockSheet, stockColumns, stockHeads, len(rows), 2)
	if err != nil {
		return err
	}
	return inOrder(
		func() error { return t.say("Stock by lot", title) },
		func() error {
			return t.say("A part used cylinder counts by what is left in it. What is expected to expire follows from the forecast, first expired first out.", small)
		},
		func() error { return t.header(28) },
		func() error {
			for _, r := range rows {
				if err := t.row(r.cells(), plain); err != nil {
					return err
				}
			}
			return nil
		},
		func() error {
			return t.close(fmt.Sprintf("%s!$%d:$%[2]d", quoted(stockSheet), stockHeads), nil, t.last())
		},
	)
}

func (r stockRow) cells() map[string]cell {
	cells := map[string]cell{
		"key": {value: r.line.Key}, "product": {value: product(r.line)}, "supplier": {value: r.Supplier}, "lot": {value: r.Lot.Lot},
		"until": {value: date(r.ExpiresOn)}, "limited": {value: r.Limited},
		"units": {value: r.Units}, "used": {value: r.Used}, "expire": {value: r.WillExpire}, "held": {value: r.Held},
	}
	if r.Sealed+r.Opened > 0 {
		cells["sealed"], cells["opened"] = cell{value: r.Sealed}, cell{value: r.Opened}
	}
	return cells
}

package workbook

import (
	"fmt"

	"spanroom/internal/purchase"
)

var decideColumns = []column{
	{key: "key", head: "line key", width: 12, format: text},
	{key: "product", head: "our product", width: 24, format: words},
	{key: "why", head: "why", width: 34, format: words},
	{key: "option", head: "way out", width: 60, format: words},
	{key: "quantity", head: "qty for this store", width: 10, format: whole},
	{key: "cost", head: "cost", width: 12, format: cents},
	{key: "currency", head: "currency", width: 9, format: text},
	{key: "expire", head: "expected to expire, units", width: 11, format: cents},
	{key: "waste", head: "expected to expire, money", width: 12, format: cents},
}

const decideHeads = 3

// writeDecide writes the ways out of the lines that only a person can settle.
func (b *book) writeDecide() error {
	type way struct {
		line purchase.Line
		purchase.Option
	}
	var ways []way
	for _, l := range b.plan.Lines {
		if l.Decide != nil {
			for _, o := range l.Decide.Options {
				ways = append(ways, way{l, o})
			}
		}
	}
	t, err := b.openTable(decideSheet, decideColumns, decideHeads, len(ways), 2)
	if err != nil {
		return err
	}
	lines := func() error {
		for _, w := range ways {
			err := t.row(map[string]cell{
				"key": {value: w.line.Key}, "product": {value: product(w.line)}, "why": {value: w.line.Decide.Why}, "option": {value: w.Text},
				"quantity": {value: w.Quantity}, "cost": {value: amount(w.Cost)}, "currency": {value: w.Cost.Currency},
				"expire": {value: w.WasteUnits}, "waste": {value: amount(w.Waste)},
			}, plain)
			if err != nil {
				return err
			}
		}
		return nil
	}
	return inOrder(
		func() error { return t.say("Lines to decide", title) },
		func() error {
			return t.say("Nothing is proposed for these lines. Choose a way out, then enter your quantity on the sheet "+orderSheet+".", small)
		},
		func() error { return t.header(40) },
		lines,
		func() error {
			return t.close(fmt.Sprintf("%s!$%d:$%[2]d", quoted(decideSheet), decideHeads), nil, t.last())
		},
	)
}

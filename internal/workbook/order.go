package workbook

import (
	"fmt"
	"slices"

	"github.com/xuri/excelize/v2"

	"spanroom/internal/purchase"
)

// writeOrder writes the sheet that is filled in.
func (b *book) writeOrder() error {
	t, err := b.openTable(orderSheet, orderColumns, orderHeads, len(b.plan.Lines), 4)
	if err != nil {
		return err
	}
	end := t.last() + 1 + len(b.plan.Totals)
	return inOrder(
		func() error { return t.say("What to order", title) },
		func() error { return t.say(b.heading()+", snapshot "+b.plan.Snapshot+", "+b.moment(), small) },
		func() error {
			return t.say("Fill in the yellow cells. Cost, cover and what expires follow your quantity; service level, lead times and review stand on the sheet "+assumptionsSheet+".", small)
		},
		func() error { return t.say(b.firstNote(), small) },
		func() error { return t.header(58) },
		func() error { return t.orderLines() },
		func() error { return t.totals() },
		func() error { return t.validate() },
		func() error { return t.highlight() },
		func() error {
			return t.close(fmt.Sprintf("%s!$A:$D,%[1]s!$%d:$%[2]d", quoted(orderSheet), orderHeads), orderBlocks, end)
		},
	)
}

func (b *book) firstNote() string {
	if len(b.plan.Notes) == 0 {
		return ""
	}
	return b.plan.Notes[0]
}

func (t *table) orderLines() error {
	stock := table{columns: stockColumns}
	at := stockHeads // of the stock sheet, which has the lots of a line one after the other
	for _, l := range t.plan.Lines {
		line := orderLine{Line: l, policy: t.plan.Policy, today: t.plan.Today}
		from, to := at+1, at+len(l.Lots)
		sum := func(column string) string {
			if to < from {
				return "0"
			}
			n := stock.number(column)
			return fmt.Sprintf("SUM(%s!%s)", quoted(stockSheet), fixed(n, from, n, to))
		}
		if err := t.row(line.cells(sum), plain); err != nil {
			return err
		}
		at = to
	}
	return nil
}

// totals adds up by currency below the lines, with a row between so that the filter leaves them alone.
func (t *table) totals() error {
	t.at = t.last() + 1
	for _, sum := range t.plan.Totals {
		by := func(column string) string {
			return fmt.Sprintf("SUMIF(%s,[currency],%s)", t.lines("currency"), t.lines(column))
		}
		err := t.row(map[string]cell{
			"product":  {value: "Total " + sum.Currency},
			"currency": {value: sum.Currency},
			"cost":     {formula: by("cost"), value: t.added(sum.Currency, orderLine.qty)},
			"waste":    {formula: by("waste"), value: t.added(sum.Currency, orderLine.expire)},
		}, total)
		if err != nil {
			return err
		}
	}
	return nil
}

// added adds up what units of every line of a currency cost.
func (t *table) added(currency string, units func(orderLine) float64) float64 {
	cents := int64(0)
	for _, l := range t.plan.Lines {
		line := orderLine{Line: l, policy: t.plan.Policy}
		if l.Source != nil && l.Source.Price.Currency == currency {
			cents += line.worth(units(line)).Minor
		}
	}
	return float64(cents) / 100
}

// validate lets only what makes sense into the cells that are filled in.
func (t *table) validate() error {
	rules := []struct {
		key        string
		kind       excelize.DataValidationType
		operator   excelize.DataValidationOperator
		low, high  any
		title, say string
	}{
		{"qty", excelize.DataValidationTypeWhole, excelize.DataValidationOperatorBetween, 0, 1_000_000, "Your quantity", "Units, not packs: a whole number in whole order multiples, from the MOQ up. Empty orders nothing."},
		{"po", excelize.DataValidationTypeTextLength, excelize.DataValidationOperatorBetween, 0, 40, "PO number", "Your order's number, up to 40 characters."},
		{"promised", excelize.DataValidationTypeDate, excelize.DataValidationOperatorGreaterThanOrEqual, "as_of", "", "Promised date", "The day that the supplier promised, not before the day of this workbook."},
		{"comment", excelize.DataValidationTypeTextLength, excelize.DataValidationOperatorBetween, 0, 500, "Comment", "Up to 500 characters."},
	}
	for _, r := range rules {
		v := excelize.NewDataValidation(true)
		n := t.number(r.key)
		v.SetSqref(ref(n, t.first()) + ":" + ref(n, t.last()))
		if err := v.SetRange(r.low, r.high, r.kind, r.operator); err != nil {
			return err
		}
		v.SetInput(r.title, r.say)
		v.SetError(excelize.DataValidationErrorStyleStop, r.title, r.say)
		if err := t.file.AddDataValidation(t.sheet, v); err != nil {
			return err
		}
	}
	return nil
}

// highlight marks the rows that need a person, beside the word in their check.
func (t *table) highlight() error {
	mark := func(check, colour string) (excelize.ConditionalFormatOptions, error) {
		id, err := t.file.NewConditionalStyle(&excelize.Style{Fill: fill(colour)})
		return excelize.ConditionalFormatOptions{Type: "formula", Format: &id, Criteria: fmt.Sprintf(`$%s=%s`, ref(t.number("check"), t.first()), check)}, err
	}
	var rules []excelize.ConditionalFormatOptions
	for _, m := range [][2]string{{`"below service"`, stopPaper}, {`"decide"`, stopPaper}, {`"more than is used in time"`, askPaper}, {`"not whole multiples"`, askPaper}, {`"below MOQ"`, askPaper}} {
		rule, err := mark(m[0], m[1])
		if err != nil {
			return err
		}
		rules = append(rules, rule)
	}
	for _, part := range [][2]string{{"key", "proposed"}, {"unit", "check"}} { // all but what is filled in
		cells := ref(t.number(part[0]), t.first()) + ":" + ref(t.number(part[1]), t.last())
		if err := t.file.SetConditionalFormat(t.sheet, cells, rules); err != nil {
			return err
		}
	}
	return nil
}

// suppliers lists the suppliers of the lines, each once.
func suppliers(plan purchase.PlanAnswer) []purchase.Source {
	var all []purchase.Source
	for _, l := range plan.Lines {
		if l.Source != nil && !slices.ContainsFunc(all, func(s purchase.Source) bool { return s.SupplierName == l.Source.SupplierName }) {
			all = append(all, *l.Source)
		}
	}
	slices.SortFunc(all, func(a, b purchase.Source) int { return compare(a.SupplierName, b.SupplierName) })
	return all
}

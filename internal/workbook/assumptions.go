package workbook

import (
	"strings"

	"github.com/xuri/excelize/v2"

	"spanroom/internal/purchase"
)

var assumptionColumns = []column{
	{key: "what", head: "figure", width: 30, format: text},
	{key: "value", head: "value", width: 26},
	{key: "spread", head: "", width: 18},
	{key: "about", head: "what it does", width: 100, format: words},
}

// figure is one line of the assumptions. A name makes it known to formulas; an input may be changed, within its limits.
type figure struct {
	what, about string
	value       any
	format      format
	name        string
	limits      [2]float64
}

func (f figure) isInput() bool { return f.limits[1] > 0 }

// writeAssumptions writes what the plan rests on. Formulas of the order sheet take their figures from here.
func (b *book) writeAssumptions() error {
	t, err := b.openTable(assumptionsSheet, assumptionColumns, 2, 0, 0)
	if err != nil {
		return err
	}
	return inOrder(
		func() error { return t.say("What the plan rests on", title) },
		func() error { return t.say("Change a yellow cell, and the order sheet follows.", small) },
		func() error { return t.figures(b.figures()) },
		func() error { return t.suppliers(suppliers(b.plan)) },
		func() error { return t.notes() },
		func() error { return b.fit(assumptionsSheet) },
		func() error { return b.protectSheet(assumptionsSheet) },
		t.out.Flush,
	)
}

func (b *book) figures() []figure {
	p := b.plan.Policy
	missing := "counted on"
	if p.ExcludeCertificateMissing {
		missing = "not counted on"
	}
	return []figure{
		{what: "service level", value: p.Service, format: percent, name: "service_level", limits: [2]float64{0.5, 0.9999}, about: "Probability that stock lasts until the next order arrives; it sets the reorder level."},
		{what: "review, days", value: p.ReviewDays, format: whole, name: "review_days", limits: [2]float64{1, 365}, about: "How often the plan is looked at; it is added to the lead time."},
		{what: "reserve of life, days", value: p.ReserveDays, format: whole, name: "reserve_days", limits: [2]float64{0, 3650}, about: "Life that an order must leave unused; it lowers Q_max."},
		{what: "as of", value: b.plan.Today.Time(), format: day, name: "as_of", about: "The day of the plan, in the site's zone. It is a fixed date: this workbook stays as it was made."},
		{what: "snapshot", value: b.plan.Snapshot, format: text, about: "The state that the plan was made from, " + b.moment() + ". The same state gives the same plan."},
		{what: "settings", value: b.plan.SettingsVersion, format: whole, about: "Version of the site's settings."},
		{what: "allowance for repeats", value: p.RetryPct / 100, format: percent, about: "Added to the scheduled tests."},
		{what: "history, weeks", value: p.HistoryWeeks, format: whole, about: "So far back use is looked at."},
		{what: "out and late, days", value: p.OutLateDays, format: whole, about: "A cylinder that is out for longer than this past its day does not count."},
		{what: "certificate missing", value: missing, format: text, about: "Stock that waits for its certificate."},
		{what: "litres counted at", value: p.Reference, format: text, about: "Reference condition by which gas is turned into cylinders."},
	}
}

func (t *table) figures(all []figure) error {
	t.at = 3
	for _, f := range all {
		role := plain
		if f.isInput() {
			role = input
		}
		if err := t.line([]any{f.what, f.value, nil, f.about}, []look{{text, plain}, {f.format, role}, {text, plain}, {words, plain}}); err != nil {
			return err
		}
		if f.name != "" {
			if err := t.name(f.name, assumptionsSheet, fixed(2, t.at, 2, t.at)); err != nil {
				return err
			}
		}
		if f.isInput() {
			if err := t.within(ref(2, t.at), f.what, f.format, f.limits); err != nil {
				return err
			}
		}
	}
	return nil
}

// suppliers writes the lead times, by the names that the lines have.
func (t *table) suppliers(all []purchase.Source) error {
	t.at++
	if err := t.line([]any{"supplier", "lead time, days", "its spread, days", "what it does"}, []look{{text, head}, {whole, head}, {whole, head}, {words, head}}); err != nil {
		return err
	}
	from := t.at + 1
	if len(all) == 0 {
		all = []purchase.Source{{SupplierName: "none"}}
	}
	for i, s := range all {
		about := ""
		if i == 0 {
			about = "Time from order to delivery and its standard deviation; they set the reorder level and the date by which to order."
		}
		if err := t.line([]any{s.SupplierName, entered(s.LeadDays), s.LeadSDDays, about}, []look{{text, plain}, {whole, input}, {whole, input}, {words, plain}}); err != nil {
			return err
		}
	}
	if err := t.within(ref(2, from)+":"+ref(3, t.at), "lead time, days", whole, [2]float64{0, 3650}); err != nil {
		return err
	}
	for i, name := range []string{"supplier_names", "lead_days", "lead_sd_days"} {
		if err := t.name(name, assumptionsSheet, fixed(i+1, from, i+1, t.at)); err != nil {
			return err
		}
	}
	return nil
}

// entered leaves the cell of a figure empty that nobody has entered.
func entered(days int) any {
	if days == 0 {
		return nil
	}
	return days
}

// notes writes what the plan says of itself, and how to read the order sheet.
func (t *table) notes() error {
	t.at++
	if err := t.line([]any{"notes", nil, nil, nil}, []look{{text, head}, {text, head}, {text, head}, {words, head}}); err != nil {
		return err
	}
	for _, note := range append(t.plan.Notes[:len(t.plan.Notes):len(t.plan.Notes)],
		"Usable on hand is what is used before its use-by at the forecast use, first expired first out; the rest is expected to expire.",
		"The dates by which to order, and how long older stock lasts, are those of the day of the plan; they do not follow changed lead times.",
		"Q_max is the most of an order of today that is used before it expires: use/wk x (life on arrival - weeks that older stock outlasts the lead time - reserve).",
		"Cautions: these are estimates. The supplier's documents and your own judgement decide.",
	) {
		id, err := t.style(look{text, small})
		if err != nil {
			return err
		}
		t.at++
		if err := t.out.SetRow(ref(1, t.at), []any{excelize.Cell{StyleID: id, Value: note}}); err != nil {
			return err
		}
	}
	return nil
}

// line writes one row with a look for each cell.
func (t *table) line(values []any, looks []look) error {
	t.at++
	cells := make([]any, len(values))
	lines := 1
	for i, v := range values {
		id, err := t.style(looks[i])
		if err != nil {
			return err
		}
		cells[i] = excelize.Cell{StyleID: id, Value: v}
		if s, is := v.(string); is && looks[i].format == words {
			lines = max(lines, folded(s, t.columns[i].width))
		}
	}
	return t.out.SetRow(ref(1, t.at), cells, excelize.RowOpts{Height: rowHeight(lines)})
}

// within lets only numbers between two limits into cells.
func (t *table) within(cells, what string, f format, limits [2]float64) error {
	kind := excelize.DataValidationTypeWhole
	if f == percent {
		kind = excelize.DataValidationTypeDecimal
	}
	v := excelize.NewDataValidation(true)
	v.SetSqref(cells)
	if err := v.SetRange(limits[0], limits[1], kind, excelize.DataValidationOperatorBetween); err != nil {
		return err
	}
	v.SetError(excelize.DataValidationErrorStyleStop, what, "This figure is outside what makes sense here.")
	return t.file.AddDataValidation(t.sheet, v)
}

func compare(a, b string) int { return strings.Compare(strings.ToLower(a), strings.ToLower(b)) }

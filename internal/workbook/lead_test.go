package workbook

import (
	"slices"
	"testing"

	"spanroom/internal/reorder"
)

// A lead time that nobody has entered is an empty cell, and no level is worked out from it.
func TestLeadTimeThatIsNotEntered(t *testing.T) {
	plan := samplePlan(t)
	var key, supplier string
	for i := range plan.Lines {
		l := &plan.Lines[i]
		if l.Source == nil || supplier != "" && l.Source.SupplierName != supplier {
			continue
		}
		key, supplier = l.Key, l.Source.SupplierName
		l.Source.LeadDays, l.State, l.Proposed, l.Fresh, l.QMax = 0, reorder.ToDecide, 0, nil, nil
	}
	_, f := written(t, plan)
	for _, column := range []string{"lead", "late", "level", "most"} {
		cell := orderCell(t, f, column, key)
		if formula, err := f.GetCellFormula(orderSheet, cell); err != nil || formula != "" || stored(t, f, orderSheet, cell) != "" {
			t.Errorf("%s: %q by %q, %v", column, stored(t, f, orderSheet, cell), formula, err)
		}
	}
	if got := stored(t, f, orderSheet, orderCell(t, f, "check", key)); got != "decide" {
		t.Errorf("check: %q", got)
	}
	rows, err := f.GetRows(assumptionsSheet)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(rows, func(row []string) bool { return len(row) > 1 && row[0] == supplier })
	if at < 0 || rows[at][1] != "" {
		t.Errorf("the lead time of %s: %q", supplier, rows[max(at, 0)])
	}
}

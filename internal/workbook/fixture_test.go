package workbook

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"spanroom/internal/purchase"
)

// samplePlan is a plan of the water utility: a line to decide, one without a supplier, one to order, some for later, lots that
// expire and one on hold, two currencies, and codes that a spreadsheet would love to misread.
func samplePlan(t *testing.T) purchase.PlanAnswer {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/workbook/plan.json")
	if err != nil {
		t.Fatal(err)
	}
	in := json.NewDecoder(bytes.NewReader(raw))
	in.DisallowUnknownFields()
	var plan purchase.PlanAnswer
	if err := in.Decode(&plan); err != nil {
		t.Fatal(err)
	}
	return plan
}

// written is the workbook of a plan as its reader gets it.
func written(t *testing.T, plan purchase.PlanAnswer) ([]byte, *excelize.File) {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, plan); err != nil {
		t.Fatal(err)
	}
	raw := bytes.Clone(out.Bytes())
	f, err := excelize.OpenReader(&out)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := f.Close(); err != nil {
			t.Error(err)
		}
	})
	return raw, f
}

// orderCell names a cell of the order sheet by its column and the line's key, or "Total EUR".
func orderCell(t *testing.T, f *excelize.File, column, key string) string {
	t.Helper()
	layout := table{columns: orderColumns}
	rows, err := f.GetRows(orderSheet)
	if err != nil {
		t.Fatal(err)
	}
	product := layout.number("product") - 1
	for i, row := range rows {
		if i >= orderHeads && len(row) > product && (row[0] == key || row[product] == key) {
			return ref(layout.number(column), i+1)
		}
	}
	t.Fatalf("no line %s", key)
	return ""
}

// stored gives what is kept in a cell, without its format.
func stored(t *testing.T, f *excelize.File, sheet, cell string) string {
	t.Helper()
	value, err := f.GetCellValue(sheet, cell, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return value
}

// shown gives what a reader sees in a cell.
func shown(t *testing.T, f *excelize.File, sheet, cell string) string {
	t.Helper()
	value, err := f.GetCellValue(sheet, cell)
	if err != nil {
		t.Fatal(err)
	}
	return value
}

// formulas gives every cell with a formula, by sheet.
func formulas(t *testing.T, f *excelize.File) map[string]map[string]string {
	t.Helper()
	all := map[string]map[string]string{}
	for _, sheet := range f.GetSheetList() {
		all[sheet] = map[string]string{}
		size, err := f.GetSheetDimension(sheet)
		if err != nil {
			t.Fatal(err)
		}
		_, end, _ := strings.Cut(size, ":")
		if end == "" {
			end = "AL40"
		}
		columns, rows, err := excelize.CellNameToCoordinates(end)
		if err != nil {
			t.Fatal(err)
		}
		for row := 1; row <= max(rows, 40); row++ {
			for col := 1; col <= max(columns, len(orderColumns)); col++ {
				formula, err := f.GetCellFormula(sheet, ref(col, row))
				if err != nil {
					t.Fatal(err)
				}
				if formula != "" {
					all[sheet][ref(col, row)] = formula
				}
			}
		}
	}
	return all
}

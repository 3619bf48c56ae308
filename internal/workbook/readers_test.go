package workbook

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"

	"spanroom/internal/store/storetest"
)

// recalculating makes LibreOffice compute a workbook anew when it loads it; otherwise it believes the values that it finds.
const recalculating = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>`

// recalculated gives the cells of each sheet as LibreOffice computes them.
func recalculated(t *testing.T, workbook string) map[string][][]string {
	t.Helper()
	office := storetest.Need(t, "SPANROOM_TEST_LIBREOFFICE")
	dir := t.TempDir()
	profile := filepath.Join(dir, "profile", "user")
	if err := os.MkdirAll(profile, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(profile, "registrymodifications.xcu"), []byte(recalculating), 0o644); err != nil {
		t.Fatal(err)
	}
	const rawCSV = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"
	run := exec.Command(office, "--headless", "-env:UserInstallation=file://"+filepath.Dir(profile), "--convert-to", rawCSV, "--outdir", dir, workbook)
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	sheets := map[string][][]string{}
	for _, name := range []string{orderSheet, decideSheet, stockSheet, assumptionsSheet} {
		file, err := os.Open(filepath.Join(dir, "plan-"+name+".csv"))
		if err != nil {
			t.Fatal(err)
		}
		in := csv.NewReader(file)
		in.FieldsPerRecord = -1
		if sheets[name], err = in.ReadAll(); err != nil {
			t.Fatal(err)
		}
		if err := file.Close(); err != nil {
			t.Fatal(err)
		}
	}
	return sheets
}

func TestLibreOfficeComputesTheSame(t *testing.T) {
	for _, c := range []struct {
		name  string
		qty   any
		total float64
	}{
		{"as written", 6, 468},
		{"changed by hand", 20, 1560}, // the values beside the formulas are stale now: only a computing reader gets this right
	} {
		_, f := written(t, samplePlan(t))
		if err := f.SetCellValue(orderSheet, orderCell(t, f, "qty", "Q4"), c.qty); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "plan.xlsx")
		if err := f.SaveAs(path); err != nil {
			t.Fatal(err)
		}
		sheets := recalculated(t, path)
		compared := 0
		for sheet, cells := range formulas(t, f) {
			for cell := range cells {
				want, err := f.CalcCellValue(sheet, cell, excelize.Options{RawCellValue: true})
				if err != nil {
					t.Fatal(err)
				}
				if got := at(t, sheets[sheet], cell); !same(got, want) && !sameDay(got, want) {
					t.Errorf("%s: %s %s is %q, want %q", c.name, sheet, cell, got, want)
				}
				compared++
			}
		}
		got, err := strconv.ParseFloat(at(t, sheets[orderSheet], orderCell(t, f, "cost", "Total EUR")), 64)
		if err != nil || got != c.total || compared < 60 {
			t.Errorf("%s: the total in EUR is %v, %v, want %v; %d formulas compared", c.name, got, err, c.total, compared)
		}
	}
}

func at(t *testing.T, rows [][]string, cell string) string {
	t.Helper()
	col, row, err := excelize.CellNameToCoordinates(cell)
	if err != nil {
		t.Fatal(err)
	}
	if row > len(rows) || col > len(rows[row-1]) {
		return ""
	}
	return rows[row-1][col-1]
}

// sameDay compares a date as text with the number that a sheet keeps for it.
func sameDay(text, number string) bool {
	n, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return false
	}
	day, err := excelize.ExcelDateToTime(n, false)
	return err == nil && day.Format("2006-01-02") == text
}

// readCells prints every cell of a workbook as a JavaScript library reads it: its kind and its value, a formula's computed one.
const readCells = `
const ExcelJS = require('exceljs');
const book = new ExcelJS.Workbook();
book.xlsx.readFile(process.argv[1]).then(() => {
  const all = {};
  book.eachSheet(sheet => {
    all[sheet.name] = {};
    sheet.eachRow(row => row.eachCell(cell => {
      const formula = cell.formula !== undefined;
      all[sheet.name][cell.address] = {formula, kind: typeof (formula ? cell.result : cell.value), value: String(formula ? cell.result : cell.value)};
    }));
  });
  console.log(JSON.stringify(all));
}).catch(fault => { console.error(fault); process.exit(1); });`

func TestSecondReaderSeesTheSame(t *testing.T) {
	modules := storetest.Need(t, "SPANROOM_TEST_EXCELJS")
	raw, f := written(t, samplePlan(t))
	path := filepath.Join(t.TempDir(), "plan.xlsx")
	if err := os.WriteFile(path, raw, 0o644); err != nil {
		t.Fatal(err)
	}
	run := exec.Command("node", "-e", readCells, path)
	run.Env = append(os.Environ(), "NODE_PATH="+modules)
	out, err := run.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	var seen map[string]map[string]struct {
		Formula     bool
		Kind, Value string
	}
	if err := json.Unmarshal(out, &seen); err != nil {
		t.Fatal(err)
	}
	layout := table{columns: orderColumns}
	until := layout.number("until")
	for sheet, cells := range formulas(t, f) {
		for cell := range cells {
			got, want := seen[sheet][cell], stored(t, f, sheet, cell)
			col, _, err := excelize.CellNameToCoordinates(cell)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := strconv.ParseFloat(want, 64); err == nil && col != until && got.Kind != "number" {
				t.Errorf("%s %s is a %s", sheet, cell, got.Kind)
			}
			if !got.Formula || col != until && !same(got.Value, want) {
				t.Errorf("%s %s: %+v, want %s", sheet, cell, got, want)
			}
		}
	}
	for column, want := range map[string]string{"article": "00417", "key": "Q4"} {
		if got := seen[orderSheet][orderCell(t, f, column, "Q4")]; got.Kind != "string" || got.Value != want {
			t.Errorf("%s: %+v", column, got)
		}
	}
	if cost, err := strconv.ParseFloat(seen[orderSheet][orderCell(t, f, "cost", "Total EUR")].Value, 64); err != nil || math.Abs(cost-468) > 1e-9 {
		t.Errorf("total %v, %v", cost, err)
	}
}

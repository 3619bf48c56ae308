package workbook

import (
	"archive/zip"
	"bytes"
	"io"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"spanroom/internal/unit"
)

func TestSheetsAndHeads(t *testing.T) {
	_, f := written(t, samplePlan(t))
	if got := f.GetSheetList(); !slices.Equal(got, []string{"Order", "Decide", "Stock by lot", "Assumptions"}) {
		t.Errorf("sheets %v", got)
	}
	rows, err := f.GetRows(orderSheet)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(rows[1], ""); !strings.Contains(got, "snapshot 20270303-") || !strings.Contains(got, "as of 3 Mar 2027 00:30 CET") {
		t.Errorf("the snapshot is not told: %q", got)
	}
	for _, want := range []string{"line key", "supplier", "supplier article no.", "our product", "components and units", "size", "outlet", "order by", "needed by",
		"proposed qty", "your qty", "order multiple", "MOQ", "unit price, per order multiple", "line cost", "usable on hand", "on order", "use/wk", "weeks cover now", "weeks cover after",
		"life on arrival required, weeks", "Q_max by shelf life", "expected to expire, units", "expected to expire, money", "reason in one sentence", "confidence", "PO no.", "promised date", "comment"} {
		if !slices.Contains(rows[orderHeads-1], want) {
			t.Errorf("no column %q", want)
		}
	}
}

func TestCodesStayText(t *testing.T) {
	_, f := written(t, samplePlan(t))
	for _, c := range []struct{ sheet, cell, want string }{
		{orderSheet, orderCell(t, f, "article", "Q4"), "00417"},
		{orderSheet, orderCell(t, f, "article", "CL"), "3E5"},
		{orderSheet, orderCell(t, f, "article", "3E5"), "=1+1"},
		{orderSheet, orderCell(t, f, "article", "300000"), "-5"},
		{orderSheet, orderCell(t, f, "article", "00417"), "+41"},
		{orderSheet, orderCell(t, f, "key", "3E5"), "3E5"},
		{orderSheet, orderCell(t, f, "key", "00417"), "00417"},
		{stockSheet, "D7", "00417"},
		{stockSheet, "D8", "3E5"},
		{stockSheet, "D9", "=cmd"},
	} {
		kind, err := f.GetCellType(c.sheet, c.cell)
		if err != nil {
			t.Fatal(err)
		}
		formula, err := f.GetCellFormula(c.sheet, c.cell)
		if err != nil {
			t.Fatal(err)
		}
		if got := stored(t, f, c.sheet, c.cell); got != c.want || formula != "" || kind != excelize.CellTypeInlineString && kind != excelize.CellTypeSharedString {
			t.Errorf("%s %s: %q of type %v with formula %q; want the text %q", c.sheet, c.cell, got, kind, formula, c.want)
		}
	}
}

func TestDatesAndMoneyAreNumbers(t *testing.T) {
	_, f := written(t, samplePlan(t))
	for _, c := range []struct{ column, key, kept, seen string }{
		{"by", "Q4", "46449", "2027-03-03"},
		{"needed", "Q4", "46491", "2027-04-14"},
		{"price", "Q4", "78", "78.00"},
		{"cost", "Q4", "468", "468.00"},
		{"cost", "Total EUR", "468", "468.00"},
		{"price", "CL", "210", "210.00"},
		{"qty", "Q4", "6", "6"},
		{"qty", "CL", "", ""},
		{"most", "CL", "3", "3"},
		{"until", "Q4", "46568", "2027-06-30"},
	} {
		cell := orderCell(t, f, c.column, c.key)
		if kept, seen := stored(t, f, orderSheet, cell), shown(t, f, orderSheet, cell); kept != c.kept || seen != c.seen {
			t.Errorf("%s of %s: kept %q, seen %q; want %q and %q", c.column, c.key, kept, seen, c.kept, c.seen)
		}
	}
	if got := stored(t, f, assumptionsSheet, "B7"); got != "46449" {
		t.Errorf("the day of the plan is %s, want midnight of 3 Mar", got)
	}
}

func TestTotalsAreThoseOfThePlan(t *testing.T) {
	plan := samplePlan(t)
	_, f := written(t, plan)
	for _, total := range plan.Totals {
		for column, want := range map[string]unit.Money{"cost": total.Cost, "waste": total.ExpectedWaste} {
			got, err := strconv.ParseFloat(stored(t, f, orderSheet, orderCell(t, f, column, "Total "+total.Currency)), 64)
			if err != nil || math.Round(got*100) != float64(want.Minor) {
				t.Errorf("%s in %s: %v, %v; the plan says %s", column, total.Currency, got, err, want)
			}
		}
	}
}

func TestFormulasAreComputedAndHarmless(t *testing.T) {
	_, f := written(t, samplePlan(t))
	count := 0
	for sheet, cells := range formulas(t, f) {
		for cell, formula := range cells {
			count++
			kept := stored(t, f, sheet, cell)
			if kept == "" {
				t.Errorf("%s %s has no computed value beside %s", sheet, cell, formula)
			}
			if odd := regexp.MustCompile(`TODAY|NOW\(|RAND|OFFSET|INDIRECT|\[|http|#REF`).FindString(formula); odd != "" {
				t.Errorf("%s %s has %q in %s", sheet, cell, odd, formula)
			}
			again, err := f.CalcCellValue(sheet, cell, excelize.Options{RawCellValue: true})
			if err != nil || !same(again, kept) {
				t.Errorf("%s %s: %s is kept as %q and computes to %q, %v", sheet, cell, formula, kept, again, err)
			}
		}
	}
	if count < 60 {
		t.Errorf("only %d formulas", count)
	}
}

// same compares two values, numbers to nine figures.
func same(a, b string) bool {
	x, errX := strconv.ParseFloat(a, 64)
	y, errY := strconv.ParseFloat(b, 64)
	if errX != nil || errY != nil {
		return a == b
	}
	return math.Abs(x-y) <= 1e-6*max(1, math.Abs(y))
}

func TestS68TheSheetFollowsThePurchaser(t *testing.T) {
	_, f := written(t, samplePlan(t))
	calc := func(column, key string) string {
		t.Helper()
		value, err := f.CalcCellValue(orderSheet, orderCell(t, f, column, key))
		if err != nil {
			t.Fatal(err)
		}
		return value
	}
	put := func(sheet, cell string, value any) {
		t.Helper()
		if err := f.SetCellValue(sheet, cell, value); err != nil {
			t.Fatal(err)
		}
	}
	qty := orderCell(t, f, "qty", "Q4")
	for _, c := range []struct {
		qty                          any
		cost, total, expire, verdict string
	}{
		{6, "468.00", "468.00", "2.39", "ok"},
		{1, "78.00", "78.00", "2.39", "below service"},
		{nil, "0.00", "0.00", "2.39", "below service"},
		{4, "312.00", "312.00", "2.39", "below MOQ"},
		{20, "1,560.00", "1,560.00", "8.60", "more than is used in time"},
	} {
		put(orderSheet, qty, c.qty)
		if cost, total, expire, verdict := calc("cost", "Q4"), calc("cost", "Total EUR"), calc("expire", "Q4"), calc("check", "Q4"); cost != c.cost || total != c.total || expire != c.expire || verdict != c.verdict {
			t.Errorf("qty %v: cost %s, total %s, %s expire, %s; want %+v", c.qty, cost, total, expire, verdict, c)
		}
	}
	put(orderSheet, orderCell(t, f, "qty", "CL"), 6)
	if waste, verdict := calc("waste", "CL"), calc("check", "CL"); waste != "565.35" || verdict != "more than is used in time" {
		t.Errorf("six of chlorine: %s wasted, %s", waste, verdict)
	}
	put(orderSheet, orderCell(t, f, "qty", "3E5"), 7)
	if got := calc("check", "3E5"); got != "more than is used in time" {
		t.Errorf("older stock outlasts the life of a new lot: %s", got)
	}
	put(orderSheet, orderCell(t, f, "qty", "FILTER-H"), 15)
	if got := calc("check", "FILTER-H"); got != "not whole multiples" {
		t.Errorf("fifteen of a pack of ten: %s", got)
	}
}

func TestAssumptionsDriveTheSheet(t *testing.T) {
	_, f := written(t, samplePlan(t))
	before := stored(t, f, orderSheet, orderCell(t, f, "level", "Q4"))
	for cell, value := range map[string]any{"B4": 0.99, "B5": 14, "B6": 28, "B18": 70} { // service, review, reserve, Northbank's lead time
		if err := f.SetCellValue(assumptionsSheet, cell, value); err != nil {
			t.Fatal(err)
		}
	}
	calc := func(column string) string {
		value, err := f.CalcCellValue(orderSheet, orderCell(t, f, column, "Q4"))
		if err != nil {
			t.Fatal(err)
		}
		return value
	}
	// use a week x 12 weeks, and 2.326 times the root of 12 x spread² + (use x 8/7)²
	if got := calc("level"); got != "7.86" || same(before, got) {
		t.Errorf("reorder level %s, was %s; want 7.86", got, before)
	}
	if got := calc("most"); got != "11" { // use a week x (25.7 - 4)
		t.Errorf("Q_max %s, want 11", got)
	}
	if got := calc("check"); got != "ok" {
		t.Errorf("check %s", got)
	}
	for name, want := range map[string]string{"service_level": "$B$4", "review_days": "$B$5", "reserve_days": "$B$6", "as_of": "$B$7", "lead_days": "$B$17:$B$19", "lead_sd_days": "$C$17:$C$19", "supplier_names": "$A$17:$A$19"} {
		if !slices.ContainsFunc(f.GetDefinedName(), func(n excelize.DefinedName) bool {
			return n.Name == name && strings.HasPrefix(n.RefersTo, "'Assumptions'!"+want)
		}) {
			t.Errorf("the name %s does not stand for %s", name, want)
		}
	}
}

func TestSamePlanGivesTheSameSheets(t *testing.T) {
	sheets := func() map[string]string {
		raw, _ := written(t, samplePlan(t))
		archive, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
		if err != nil {
			t.Fatal(err)
		}
		all := map[string]string{}
		for _, part := range archive.File {
			in, err := part.Open()
			if err != nil {
				t.Fatal(err)
			}
			content, err := io.ReadAll(in)
			if err != nil {
				t.Fatal(err)
			}
			if strings.HasPrefix(part.Name, "xl/worksheets/") || part.Name == "xl/workbook.xml" || part.Name == "xl/styles.xml" {
				all[part.Name] = string(content)
			}
		}
		return all
	}
	first := sheets()
	if len(first) != 6 || !maps.Equal(first, sheets()) {
		t.Errorf("two downloads of one plan differ, or %d parts are not the six that were meant", len(first))
	}
}

func TestNothingButASpreadsheetIsInside(t *testing.T) {
	raw, _ := written(t, samplePlan(t))
	archive, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range archive.File {
		if odd := regexp.MustCompile(`(?i)vba|macro|external|activeX|embed|connection`).FindString(part.Name); odd != "" {
			t.Errorf("%s is inside", part.Name)
		}
		in, err := part.Open()
		if err != nil {
			t.Fatal(err)
		}
		content, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(part.Name, ".rels") && strings.Contains(string(content), `TargetMode="External"`) {
			t.Errorf("%s leads outside", part.Name)
		}
	}
}

func TestEmptyPlanIsAWorkbookToo(t *testing.T) {
	plan := samplePlan(t)
	plan.Lines, plan.Totals, plan.Notes, plan.Site = nil, nil, nil, ""
	_, f := written(t, plan)
	if got := shown(t, f, orderSheet, "A5"); got != "line key" {
		t.Errorf("head %q", got)
	}
	if n := len(formulas(t, f)[orderSheet]); n != 0 {
		t.Errorf("%d formulas without a line", n)
	}
}

func TestFailureToWriteIsTold(t *testing.T) {
	if err := Write(fullDisk{}, samplePlan(t)); err == nil {
		t.Error("a full disk goes unnoticed")
	}
	odd := samplePlan(t)
	odd.Zone, odd.AsOf = "Nowhere/None", "soon"
	if _, f := written(t, odd); shown(t, f, assumptionsSheet, "B7") != "2027-03-03" {
		t.Error("an odd zone spoils the day of the plan")
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

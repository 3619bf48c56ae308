package workbook

import (
	"strings"
	"testing"
)

// What is set on a streamed sheet at the wrong moment is lost without an error, so that all of it is looked for in the file.
func TestWhatStandsAroundTheCells(t *testing.T) {
	_, f := written(t, samplePlan(t))
	for sheet, frozen := range map[string][2]int{orderSheet: {4, 5}, decideSheet: {2, 3}, stockSheet: {2, 3}, assumptionsSheet: {0, 2}} {
		panes, err := f.GetPanes(sheet)
		if err != nil || !panes.Freeze || panes.XSplit != frozen[0] || panes.YSplit != frozen[1] {
			t.Errorf("%s: panes %+v, %v", sheet, panes, err)
		}
		page, err := f.GetPageLayout(sheet)
		if err != nil || *page.Orientation != "landscape" || *page.Size != 9 || *page.FitToWidth != 1 || *page.FitToHeight != 0 {
			t.Errorf("%s: page %+v, %v", sheet, page, err)
		}
		props, err := f.GetSheetProps(sheet)
		if err != nil || props.FitToPage == nil || !*props.FitToPage {
			t.Errorf("%s does not fit the page: %v", sheet, err)
		}
		around, err := f.GetHeaderFooter(sheet)
		if err != nil || !strings.Contains(around.OddFooter, "page &P of &N") || !strings.Contains(around.OddFooter, "snapshot 20270303") {
			t.Errorf("%s: %+v, %v", sheet, around, err)
		}
		protected, err := f.GetSheetProtection(sheet)
		if err != nil || protected.Password != "" || protected.FormatCells || !protected.SelectUnlockedCells || !protected.AutoFilter {
			t.Errorf("%s: protection %+v, %v", sheet, protected, err)
		}
	}
	props, err := f.GetDocProps()
	if err != nil || props.Title != "Reorder 2027-03-03" || props.Creator != "spanroom" || props.Created != "2027-03-02T23:30:00Z" {
		t.Errorf("properties %+v, %v", props, err)
	}
	calc, err := f.GetCalcProps()
	if err != nil || calc.FullCalcOnLoad == nil || !*calc.FullCalcOnLoad {
		t.Errorf("computing at load: %+v, %v", calc, err)
	}
	names := map[string]string{}
	for _, n := range f.GetDefinedName() {
		names[n.Name+" "+n.Scope] = n.RefersTo
	}
	for name, want := range map[string]string{
		"_xlnm._FilterDatabase Order": "'Order'!$A$5:$AL$13",
		"_xlnm.Print_Titles Order":    "'Order'!$A:$D,'Order'!$5:$5",
		"_xlnm.Print_Area Order":      "'Order'!$A$1:$Q$16,'Order'!$R$5:$AG$16,'Order'!$AH$5:$AL$16",
	} {
		if names[name] != want {
			t.Errorf("%s is %q, want %q", name, names[name], want)
		}
	}
}

func TestOnlyWhatIsFilledInIsOpen(t *testing.T) {
	_, f := written(t, samplePlan(t))
	locked := func(sheet, cell string) bool {
		t.Helper()
		id, err := f.GetCellStyle(sheet, cell)
		if err != nil {
			t.Fatal(err)
		}
		style, err := f.GetStyle(id)
		if err != nil {
			t.Fatal(err)
		}
		if open := len(style.Fill.Color) > 0 && style.Fill.Color[0] == openColour; open == style.Protection.Locked {
			t.Errorf("%s %s is locked %v and filled %v: what is open must stand out", sheet, cell, style.Protection.Locked, style.Fill.Color)
		}
		return style.Protection.Locked
	}
	for _, c := range orderColumns {
		if cell := orderCell(t, f, c.key, "Q4"); locked(orderSheet, cell) == c.input {
			t.Errorf("%s (%s): input is %v", c.key, cell, c.input)
		}
	}
	for cell, want := range map[string]bool{"A4": true, "B4": false, "B5": false, "B6": false, "B7": true, "B17": false, "C19": false, "A17": true} {
		if locked(assumptionsSheet, cell) != want {
			t.Errorf("assumption %s: locked should be %v", cell, want)
		}
	}
	for _, c := range []struct{ sheet, cells, kind string }{
		{orderSheet, "K6:K13", "whole"}, {orderSheet, "AI6:AI13", ""}, {orderSheet, "AJ6:AJ13", "textLength"}, {orderSheet, "AK6:AK13", "date"}, {orderSheet, "AL6:AL13", "textLength"},
		{assumptionsSheet, "B4", "decimal"}, {assumptionsSheet, "B5", "whole"}, {assumptionsSheet, "B17:C19", "whole"},
	} {
		rules, err := f.GetDataValidations(c.sheet)
		if err != nil {
			t.Fatal(err)
		}
		kind := ""
		for _, r := range rules {
			if r.Sqref == c.cells {
				kind = r.Type
			}
		}
		if kind != c.kind {
			t.Errorf("%s %s takes %q, want %q", c.sheet, c.cells, kind, c.kind)
		}
	}
	marks, err := f.GetConditionalFormats(orderSheet)
	if err != nil || len(marks) != 2 || len(marks["A6:J13"]) != 5 {
		t.Errorf("marks %v, %v", marks, err)
	}
}

func TestTextIsGivenItsRoom(t *testing.T) {
	for _, c := range []struct {
		text  string
		width float64
		lines int
	}{{"", 10, 1}, {"short", 10, 1}, {strings.Repeat("word ", 10), 10, 5}, {"one\ntwo", 40, 2}} {
		if got := folded(c.text, c.width); got != c.lines {
			t.Errorf("%q in %v: %d lines, want %d", c.text, c.width, got, c.lines)
		}
	}
	if rowHeight(3) <= rowHeight(1)*2 {
		t.Error("three lines need more room than two")
	}
}

func TestHeaderKeepsItsCodes(t *testing.T) {
	if got := plainText("Gas & Water, " + strings.Repeat("x", 100)); !strings.HasPrefix(got, "Gas && Water") || len(got) > 81 {
		t.Errorf("%q", got)
	}
	plan := samplePlan(t)
	plan.Site = "Harrowmere & Sons"
	_, f := written(t, plan)
	around, err := f.GetHeaderFooter(orderSheet)
	if err != nil || !strings.Contains(around.OddHeader, "Harrowmere && Sons, reorder 3 Mar 2027") {
		t.Errorf("%+v, %v", around, err)
	}
}

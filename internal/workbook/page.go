package workbook

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// blocks are the parts of a table that each print as pages of their own, by the key of their first column.
type blocks []string

// close sets filter, protection and print of a table, and ends its stream. Nothing may be added to the sheet afterwards.
func (t *table) close(titles string, parts blocks, end int) error {
	return inOrder(
		func() error {
			return t.file.AutoFilter(t.sheet, ref(1, t.heads)+":"+ref(len(t.columns), t.last()), nil)
		},
		func() error { return t.fitToWidth() },
		func() error { return t.protect() },
		func() error { return t.local("_xlnm.Print_Titles", titles) },
		func() error { return t.local("_xlnm.Print_Area", t.area(parts, end)) },
		t.out.Flush,
	)
}

// protectSheet locks what is not to be filled in, without a password: it guards against slips, not against people.
func (b *book) protectSheet(sheet string) error {
	return b.file.ProtectSheet(sheet, &excelize.SheetProtectionOptions{
		SelectLockedCells: true, SelectUnlockedCells: true, AutoFilter: true, FormatColumns: true, FormatRows: true,
	})
}

func (t *table) protect() error { return t.protectSheet(t.sheet) }

func (t *table) local(name, refers string) error {
	return t.file.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: refers, Scope: t.sheet})
}

// area lists the printed ranges: the first from the top of the sheet, the others from the heads.
func (t *table) area(parts blocks, end int) string {
	var ranges []string
	from, top := 1, 1
	for _, key := range append(parts, "") {
		to := len(t.columns)
		if key != "" {
			to = t.number(key) - 1
		}
		ranges = append(ranges, quoted(t.sheet)+"!"+fixed(from, top, to, end))
		from, top = to+1, t.heads
	}
	return strings.Join(ranges, ",")
}

func (t *table) fitToWidth() error { return t.fit(t.sheet) }

// fit prints a sheet across, as wide as the paper, with page numbers and the snapshot on every page.
func (b *book) fit(sheet string) error {
	a4, across, wide, high := 9, "landscape", 1, 0
	margin := func(inches float64) *float64 { return &inches }
	return inOrder(
		func() error {
			return b.file.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &a4, Orientation: &across, FitToWidth: &wide, FitToHeight: &high})
		},
		func() error {
			return b.file.SetPageMargins(sheet, &excelize.PageLayoutMarginsOptions{
				Left: margin(0.4), Right: margin(0.4), Top: margin(0.6), Bottom: margin(0.6), Header: margin(0.3), Footer: margin(0.3),
			})
		},
		func() error {
			return b.file.SetHeaderFooter(sheet, &excelize.HeaderFooterOptions{
				OddHeader: "&L&9" + plainText(b.heading()) + "&R&9" + sheet,
				OddFooter: "&L&9snapshot " + b.plan.Snapshot + ", " + b.moment() + "&R&9page &P of &N",
			})
		},
	)
}

// plainText keeps an ampersand from being read as a code of the page's header, and a long name from filling it.
func plainText(s string) string {
	if r := []rune(s); len(r) > 80 {
		s = string(r[:80])
	}
	return strings.ReplaceAll(s, "&", "&&")
}

func (b *book) heading() string {
	return strings.TrimPrefix(fmt.Sprintf("%s, reorder %s", b.plan.Site, b.plan.Today.Words()), ", ")
}

func (b *book) moment() string {
	return "as of " + b.asOf().Format("2 Jan 2006 15:04 MST")
}

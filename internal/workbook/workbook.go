// Package workbook turns a plan into an .xlsx that a purchaser can work with: figures as numbers, dates as dates, codes as
// text, formulas with their computed values, and only the cells that are hers to fill in open.
package workbook

import (
	"fmt"
	"io"
	"time"

	"github.com/xuri/excelize/v2"

	"spanroom/internal/purchase"
)

// The sheets, in their order.
const (
	orderSheet       = "Order"
	decideSheet      = "Decide"
	stockSheet       = "Stock by lot"
	assumptionsSheet = "Assumptions"
)

// Write writes the plan as a workbook. All of it comes from the plan: the same plan gives the same sheets.
func Write(w io.Writer, plan purchase.PlanAnswer) (err error) {
	b := &book{file: excelize.NewFile(), plan: plan, styles: map[look]int{}}
	defer func() {
		if closing := b.file.Close(); err == nil {
			err = closing
		}
	}()
	err = inOrder(b.begin, b.writeOrder, b.writeDecide, b.writeStock, b.writeAssumptions, b.finish)
	if err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	return b.file.Write(w)
}

// book is the workbook while it is written.
type book struct {
	file   *excelize.File
	plan   purchase.PlanAnswer
	styles map[look]int
}

// inOrder does one step after the other until one fails.
func inOrder(steps ...func() error) error {
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// begin makes the sheets, so that formulas of the first may name the last.
func (b *book) begin() error {
	if err := b.file.SetSheetName("Sheet1", orderSheet); err != nil {
		return err
	}
	for _, name := range []string{decideSheet, stockSheet, assumptionsSheet} {
		if _, err := b.file.NewSheet(name); err != nil {
			return err
		}
	}
	return b.file.SetDefaultFont(font)
}

// finish tells programs to compute everything anew when the file is opened, and what it is.
func (b *book) finish() error {
	b.file.SetActiveSheet(0)
	made := b.asOf().UTC().Format(time.RFC3339)
	b.file.Pkg.Store("docProps/core.xml", []byte(fmt.Sprintf(properties, b.plan.Today, b.plan.Snapshot, made)))
	yes := true
	return b.file.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &yes})
}

// properties are written here, because the library writes them without the prefixes that some readers insist on.
const properties = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>
<cp:coreProperties xmlns:cp="http://schemas.openxmlformats.org/package/2006/metadata/core-properties" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"><dc:title>Reorder %s</dc:title><dc:subject>snapshot %s</dc:subject><dc:creator>spanroom</dc:creator><dcterms:created xsi:type="dcterms:W3CDTF">%s</dcterms:created><dcterms:modified xsi:type="dcterms:W3CDTF">%[3]s</dcterms:modified></cp:coreProperties>`

// asOf is the moment of the plan in the site's zone.
func (b *book) asOf() time.Time {
	at, err := time.Parse(time.RFC3339, b.plan.AsOf)
	if err != nil {
		return b.plan.Today.Time()
	}
	if zone, err := time.LoadLocation(b.plan.Zone); err == nil {
		at = at.In(zone)
	}
	return at
}

// name defines a name for cells of a sheet, so that formulas can be read.
func (b *book) name(name, sheet, cells string) error {
	return b.file.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: quoted(sheet) + "!" + cells})
}

func quoted(sheet string) string { return "'" + sheet + "'" }

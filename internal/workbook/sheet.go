package workbook

import (
	"math"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// column is one column of a table: its head, its width in digits, how its values are shown, and whether they are to be filled in.
type column struct {
	key    string // formulas call it [key]
	head   string
	width  float64
	format format
	input  bool
}

// cell is what stands in a cell: a value, or a formula with its computed value beside it.
type cell struct {
	value   any
	formula string
}

// table is one table of a sheet, as it is streamed. Its first row is the head.
type table struct {
	*book
	sheet   string
	columns []column
	heads   int // row of the heads
	rows    int // lines that will be written
	out     *excelize.StreamWriter
	at      int // row last written
}

// openTable opens a sheet with the widths of its columns and its heads held in view, with so many columns left of them.
func (b *book) openTable(sheet string, columns []column, heads, rows, frozen int) (*table, error) {
	// This property is written with the first byte of the stream; set later it would be lost without a word.
	yes := true
	if err := b.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &yes}); err != nil {
		return nil, err
	}
	out, err := b.file.NewStreamWriter(sheet)
	if err != nil {
		return nil, err
	}
	t := &table{book: b, sheet: sheet, columns: columns, heads: heads, rows: rows, out: out}
	for i, c := range columns {
		if err := out.SetColWidth(i+1, i+1, c.width); err != nil {
			return nil, err
		}
	}
	no := false
	if err := b.file.SetSheetView(sheet, 0, &excelize.ViewOptions{ShowGridLines: &no}); err != nil {
		return nil, err
	}
	corner := ref(frozen+1, heads+1)
	return t, out.SetPanes(&excelize.Panes{
		Freeze: true, XSplit: frozen, YSplit: heads, TopLeftCell: corner, ActivePane: pane(frozen),
		Selection: []excelize.Selection{{SQRef: corner, ActiveCell: corner, Pane: pane(frozen)}},
	})
}

func pane(frozen int) string {
	if frozen > 0 {
		return "bottomRight"
	}
	return "bottomLeft"
}

// say writes a line of text above the table.
func (t *table) say(words string, r role) error {
	id, err := t.style(look{text, r})
	if err != nil {
		return err
	}
	t.at++
	height := 13.0
	if r == title {
		height = 24
	}
	return t.out.SetRow(ref(1, t.at), []any{excelize.Cell{StyleID: id, Value: words}}, excelize.RowOpts{Height: height})
}

// header writes the heads of the columns.
func (t *table) header(height float64) error {
	values := make([]any, len(t.columns))
	for i, c := range t.columns {
		id, err := t.style(look{c.format, head})
		if err != nil {
			return err
		}
		values[i] = excelize.Cell{StyleID: id, Value: c.head}
	}
	t.at = t.heads
	return t.out.SetRow(ref(1, t.at), values, excelize.RowOpts{Height: height})
}

// row writes the next row, in which a column's key stands for its cell.
func (t *table) row(cells map[string]cell, r role) error {
	t.at++
	values := make([]any, len(t.columns))
	lines := 1
	for i, c := range t.columns {
		content := cells[c.key]
		kind := r
		if c.input && r == plain {
			kind = input
		}
		id, err := t.style(look{c.format, kind})
		if err != nil {
			return err
		}
		values[i] = excelize.Cell{StyleID: id, Value: content.value, Formula: t.expand(content.formula, t.at)}
		if s, is := content.value.(string); is && c.format == words {
			lines = max(lines, folded(s, c.width))
		}
	}
	return t.out.SetRow(ref(1, t.at), values, excelize.RowOpts{Height: rowHeight(lines)})
}

// rowHeight gives so many lines of text their room, in points.
func rowHeight(lines int) float64 { return 5 + 13*float64(lines) }

// folded estimates over how many lines a text goes in a column.
func folded(s string, width float64) int {
	n := 0
	for _, line := range strings.Split(s, "\n") {
		n += max(1, int(math.Ceil(float64(utf8.RuneCountInString(line))/(width*1.1))))
	}
	return n
}

// expand puts the cells of a row into a formula.
func (t *table) expand(formula string, row int) string {
	if formula == "" {
		return ""
	}
	for i, c := range t.columns {
		formula = strings.ReplaceAll(formula, "["+c.key+"]", ref(i+1, row))
	}
	return formula
}

// number gives the number of a column by its key, from 1.
func (t *table) number(key string) int {
	for i, c := range t.columns {
		if c.key == key {
			return i + 1
		}
	}
	panic("workbook: no column " + key)
}

// first and last are the rows of the lines; a table without any keeps one, so that ranges stay ranges.
func (t *table) first() int { return t.heads + 1 }
func (t *table) last() int  { return t.heads + max(1, t.rows) }

// lines is the range of a column's cells, with dollars so that it stays where it is.
func (t *table) lines(key string) string {
	n := t.number(key)
	return fixed(n, t.first(), n, t.last())
}

// ref names a cell: A1.
func ref(col, row int) string {
	name, err := excelize.CoordinatesToCellName(col, row)
	if err != nil {
		panic(err) // columns and rows count from 1
	}
	return name
}

// fixed names a range that does not move: $A$1:$B$2.
func fixed(col, row, col2, row2 int) string {
	from, err := excelize.CoordinatesToCellName(col, row, true)
	if err != nil {
		panic(err)
	}
	to, err := excelize.CoordinatesToCellName(col2, row2, true)
	if err != nil {
		panic(err)
	}
	return from + ":" + to
}

package workbook

import (
	"github.com/xuri/excelize/v2"
)

const font = "Arial"

// The colours are those of the screens: ink on paper, a strip of tape for heads, and what is to be filled in stands out.
const (
	ink        = "1B1E22"
	soft       = "55595F"
	ruled      = "C9C4B8"
	tape       = "E8E1CF"
	openColour = "FFF3C4"
	askPaper   = "FBEBD0"
	stopPaper  = "F8E0DB"
)

// format says how a value is shown.
type format string

// The formats. Text keeps what looks like a number as it is written.
const (
	text    format = "@"
	words   format = "words" // text over several lines
	whole   format = "0"
	tenths  format = "0.0"
	cents   format = "#,##0.00"
	percent format = "0.00%"
	day     format = "yyyy-mm-dd"
)

// role says what a cell is for.
type role int

const (
	plain role = iota
	input
	head
	total
	title
	small
)

// look is one style of cell.
type look struct {
	format format
	role   role
}

// style gives the id of a look, which is made once.
func (b *book) style(l look) (int, error) {
	if id, made := b.styles[l]; made {
		return id, nil
	}
	id, err := b.file.NewStyle(l.style())
	b.styles[l] = id
	return id, err
}

func (l look) style() *excelize.Style {
	s := &excelize.Style{
		Font:       &excelize.Font{Family: font, Size: 10, Color: ink},
		Alignment:  &excelize.Alignment{Vertical: "top", WrapText: l.format == words},
		Protection: &excelize.Protection{Locked: l.role != input},
	}
	code := string(l.format)
	if l.format == words {
		code = string(text)
	}
	s.CustomNumFmt = &code
	if !l.format.isNumber() && l.role != title && l.role != small {
		s.Alignment.Horizontal, s.Alignment.Indent = "left", 1 // so that no text touches the number on its left
	}
	switch l.role {
	case plain:
		s.Border = rule("bottom", ruled, 1)
	case input:
		s.Fill = fill(openColour)
		s.Border = append(rule("bottom", ink, 1), append(rule("top", ink, 1), append(rule("left", ink, 1), rule("right", ink, 1)...)...)...)
	case head:
		s.Font.Bold = true
		s.Fill = fill(tape)
		s.Alignment.WrapText, s.Alignment.Vertical = true, "bottom"
		s.Border = rule("bottom", ink, 2)
		if l.format.isNumber() {
			s.Alignment.Horizontal = "right"
		}
	case total:
		s.Font.Bold = true
		s.Border = rule("top", ink, 2)
	case title:
		s.Font.Bold, s.Font.Size = true, 16
	case small:
		s.Font.Color = soft
	}
	return s
}

func (f format) isNumber() bool { return f == whole || f == tenths || f == cents || f == percent }

func fill(colour string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}}
}

func rule(side, colour string, weight int) []excelize.Border {
	return []excelize.Border{{Type: side, Color: colour, Style: weight}}
}

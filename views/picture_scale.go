package views

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// volScale is a scale in %vol with the amount in a cylinder as a bar, and beside it the amounts that are 100 %LEL on several bases.
type volScale struct {
	Gas, Words string  // the gas, and the amount as people write it
	Amount     float64 // in %vol
	Marks      []scaleMark
}

// scaleMark is 100 %LEL on one basis; a basis without a figure is left out of the picture.
type scaleMark struct {
	Basis       string
	LimitVolPct float64
	Chosen      bool
}

// The picture's own measures; it scales to its place.
const (
	scaleWidth             = 360.0
	scaleLeft, scaleRight  = 6.0, 10.0
	scaleRow, scaleType    = 22.0, 13.0
	scaleBar, scaleNumbers = 18.0, 40.0 // height of the bar, and of what stands under the axis
	scaleTicks             = 6
)

func newVolScale(pairs ...any) (*volScale, error) {
	s := &volScale{}
	err := fill(s, pairs)
	s.Marks = slices.DeleteFunc(s.Marks, func(m scaleMark) bool { return m.LimitVolPct <= 0 })
	return s, err
}

// Known tells whether there is anything to compare the amount with.
func (s *volScale) Known() bool { return len(s.Marks) > 0 }

func (s *volScale) most() float64 {
	most := s.Amount
	for _, m := range s.Marks {
		most = max(most, m.LimitVolPct)
	}
	return most
}

// end is where the axis ends: some way behind the last mark.
func (s *volScale) end() float64 { return s.most() * 1.1 }

func (s *volScale) x(volPct float64) float64 {
	return tenth(scaleLeft + (scaleWidth-scaleLeft-scaleRight)*min(max(volPct, 0), s.end())/s.end())
}

// Frame gives the lines of the picture: its size, the axis, and the bar that stands on it.
func (s *volScale) Frame() map[string]float64 {
	axis := scaleRow*float64(len(s.Marks)+2) + scaleBar + 4
	return map[string]float64{
		"left": scaleLeft, "right": scaleWidth - scaleRight, "axis": axis, "bar": axis - scaleBar, "barheight": scaleBar, "head": scaleType,
		"barwidth": tenth(s.x(s.Amount) - scaleLeft), "width": scaleWidth, "height": axis + scaleNumbers,
	}
}

// scaleLine is a mark: a line from under its words down to the axis.
type scaleLine struct {
	pictureWord
	At    float64 // where the line stands
	Class string  // amount, chosen or basis
}

// Lines are the marks with their words, each in a row of its own under the head. The greatest is on top and the words stand on the
// left of their lines where they have room, so that no line passes through the words of another.
func (s *volScale) Lines() []scaleLine {
	lines := []scaleLine{s.line(s.Amount, "amount", strings.TrimSpace("cylinder: "+s.Words+" "+s.Gas))}
	for _, m := range s.Marks {
		class := "basis"
		if m.Chosen {
			class = "chosen"
		}
		lines = append(lines, s.line(m.LimitVolPct, class, fmt.Sprintf("%s %%vol, %s", decimal(m.LimitVolPct), m.Basis)))
	}
	slices.SortStableFunc(lines, func(a, b scaleLine) int { return cmp.Compare(b.At, a.At) })
	for i := range lines {
		lines[i].Y = scaleRow*float64(i+1) + scaleType
	}
	return lines
}

func (s *volScale) line(volPct float64, class, text string) scaleLine {
	const gap = 5
	at := s.x(volPct)
	word := pictureWord{X: tenth(at - gap), Text: text, Anchor: "end"}
	switch room := at-gap >= wide(text, scaleType); {
	case !room && class == "amount":
		word.X, word.Anchor = 0, "start" // over its bar
	case !room:
		word = beside(at, gap, 0, scaleWidth, scaleType, text)
	}
	return scaleLine{word, at, class}
}

// Ticks are the marks on the axis.
func (s *volScale) Ticks() []pictureWord {
	step := axisStep(s.most(), scaleTicks)
	var ticks []pictureWord
	for i := 0; float64(i)*step <= s.end(); i++ {
		at := float64(i) * step
		anchor := "middle"
		if i == 0 {
			anchor = "start"
		}
		ticks = append(ticks, pictureWord{X: s.x(at), Y: s.Frame()["axis"], Text: num(axisDigits(step), at), Anchor: anchor})
	}
	return ticks
}

// Sentence says the same as the picture.
func (s *volScale) Sentence() string {
	var out strings.Builder
	fmt.Fprintf(&out, "The cylinder has %s %s", s.Words, s.Gas)
	for i, m := range s.Marks {
		lead := ", and "
		if i == 0 {
			lead = "; 100 %LEL is "
		}
		fmt.Fprintf(&out, "%s%s %%vol by %s", lead, decimal(m.LimitVolPct), m.Basis)
		if m.Chosen && len(s.Marks) > 1 {
			out.WriteString(", which is chosen")
		}
	}
	return out.String() + "."
}

// decimal writes a figure with up to four decimals, as many as it has.
func decimal(n float64) string {
	text := num(4, math.Round(n*1e4)/1e4)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

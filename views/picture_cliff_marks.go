package views

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// Frame gives the lines of the axes: left, right, top and bottom.
func (c *cliff) Frame() map[string]float64 {
	return map[string]float64{
		"left": cliffLeft, "right": cliffWidth - cliffRight, "top": cliffTop, "bottom": cliffHeight - cliffBottom,
		"middle": (cliffTop + cliffHeight - cliffBottom) / 2, "width": cliffWidth, "height": cliffHeight,
	}
}

// Ups are the marks on the axis of units.
func (c *cliff) Ups() []pictureWord {
	digits := axisDigits(c.scale())
	marks := make([]pictureWord, c.steps()+1)
	for i := range marks {
		units := float64(i) * c.scale()
		marks[i] = pictureWord{X: cliffLeft - 6, Y: c.y(units), Text: num(digits, units), Anchor: "end"}
	}
	return marks
}

// Months are the marks on the axis of time: first days of months, not so many that they touch, each year named once.
func (c *cliff) Months() []pictureWord {
	today, err := time.Parse(time.DateOnly, c.Today)
	if err != nil {
		return nil
	}
	every := max(1, int(math.Ceil(c.end()/30.4/monthsMost)))
	var marks []pictureWord
	year := today.Year() - 1
	for at := time.Date(today.Year(), today.Month()+1, 1, 0, 0, 0, 0, time.UTC); ; at = at.AddDate(0, every, 0) {
		day := math.Round(at.Sub(today).Hours() / 24)
		if day > c.end() {
			return marks
		}
		words := at.Format("Jan")
		if at.Year() != year {
			words, year = at.Format("Jan 2006"), at.Year()
		}
		marks = append(marks, pictureWord{X: c.x(day), Y: cliffHeight - cliffBottom, Text: words, Anchor: "middle"})
	}
}

// LevelMark is the line of the reorder level, or nil.
func (c *cliff) LevelMark() *pictureWord {
	if c.Level <= 0 {
		return nil
	}
	return &pictureWord{X: cliffWidth - cliffRight, Y: c.y(c.Level), Text: "reorder level " + few(c.Level), Anchor: "end"}
}

// Days are the days of the next order and of its arrival, with words above the picture that keep out of each other's way.
func (c *cliff) Days() []pictureWord {
	var marks []pictureWord
	for _, d := range []struct{ on, what string }{{c.OrderBy, "order by "}, {c.NeededBy, "arrives "}} {
		if _, err := time.Parse(time.DateOnly, d.on); err != nil {
			continue
		}
		m := pictureWord{X: c.x(c.day(d.on)), Y: 12, Text: d.what + dayAndMonth(d.on), Anchor: "start"}
		if m.X > cliffWidth*0.75 {
			m.Anchor = "end"
		}
		if len(marks) > 0 && m.X-marks[0].X < 150 {
			m.Y = 26
		}
		marks = append(marks, m)
	}
	return marks
}

// Drops are the words beside the cliffs. Only as many as have room; the sentence tells all.
func (c *cliff) Drops() []pictureWord {
	var marks []pictureWord
	last := -math.MaxFloat64
	for _, at := range c.shelfDrops() {
		m := pictureWord{X: c.x(at.day) + 6, Y: c.y(at.top-at.units/2) + 4, Text: few(at.units) + " expire, " + dayAndMonth(at.on), Anchor: "start"}
		if m.X > cliffWidth*0.7 {
			m.X, m.Anchor = m.X-12, "end"
		}
		if m.X-last < 130 {
			continue
		}
		last = m.X
		marks = append(marks, m)
	}
	return marks
}

// shelfDrop is a drop with the height that it falls from.
type shelfDrop struct {
	drop
	top float64
}

func (c *cliff) shelfDrops() []shelfDrop {
	line, drops := c.shelf(), c.drops()
	var found []shelfDrop
	for _, d := range drops {
		for i := 1; i < len(line); i++ {
			if line[i].day == d.day && line[i-1].day == d.day && line[i].units < line[i-1].units {
				found = append(found, shelfDrop{d, line[i-1].units})
				break
			}
		}
	}
	return found
}

// Sentence says the same as the picture.
func (c *cliff) Sentence() string {
	if !c.Known() {
		return "There is no stock of " + c.Name + " to draw."
	}
	first := c.Points[0]
	var out strings.Builder
	fmt.Fprintf(&out, "%s: %s on the shelf on %s, of which %s used in time", c.Name, c.count(first.Units), date(c.Today), are(first.Usable))
	for _, d := range c.drops() {
		fmt.Fprintf(&out, "; %s %s unused after %s", few(d.units), verb(d.units), date(d.on))
		if lots := strings.Join(d.lots, ", "); lots != "" {
			out.WriteString(" (lot " + lots + ")")
		}
	}
	if c.Level > 0 {
		fmt.Fprintf(&out, "; the reorder level is %s", few(c.Level))
	}
	if c.OrderBy != "" {
		fmt.Fprintf(&out, "; order by %s", date(c.OrderBy))
		if c.NeededBy != "" {
			fmt.Fprintf(&out, ", it arrives about %s", date(c.NeededBy))
		}
	}
	return out.String() + "."
}

// Units is the unit in words, for the axis.
func (c *cliff) Units() string {
	switch c.Unit {
	case "cylinder":
		return "cylinders"
	case "m":
		return "metres"
	}
	return "pieces"
}

func (c *cliff) count(n float64) string {
	if few(n) == "1" {
		return few(n) + " " + strings.TrimSuffix(c.Units(), "s")
	}
	return few(n) + " " + c.Units()
}

func are(n float64) string {
	if few(n) == "1" {
		return "1 is"
	}
	return few(n) + " are"
}

func verb(n float64) string {
	if few(n) == "1" {
		return "expires"
	}
	return "expire"
}

// few writes a figure of the plan with one decimal, and with none where it is whole.
func few(n any) string { return strings.TrimSuffix(num(1, n), ".0") }

func dayAndMonth(on string) string {
	t, err := time.Parse(time.DateOnly, on)
	if err != nil {
		return on
	}
	return t.Format("2 Jan")
}

package views

import (
	"fmt"
	"math"
	"strings"
)

// cliff is the use-by cliff of one item: what stands on the shelf week by week, with a drop where a lot expires, and beneath
// it what of that is used in time. Between the two lies what expires unused.
type cliff struct {
	Name, Unit, Today string
	Level             float64 // the reorder level; 0 where there is none
	OrderBy, NeededBy string  // the day of the next order, and of its arrival
	Points            []cliffPoint
	Lots              []cliffLot
}

// cliffPoint is the stock at the end of a day, and what expired since the point before.
type cliffPoint struct {
	On                     string
	Units, Usable, Expired float64
}

// cliffLot is a lot with what of it will expire unused.
type cliffLot struct {
	Lot, ExpiresOn, Held string
	WillExpire           float64
}

// drop is a cliff: so much expires at the end of a day.
type drop struct {
	day, units float64
	on         string
	lots       []string
}

// The picture's own measures. It scales to its place, and scrolls where that would be too small to read.
const (
	cliffWidth, cliffHeight              = 560.0, 300.0
	cliffLeft, cliffRight                = 56.0, 14.0
	cliffTop, cliffBottom                = 34.0, 44.0
	leastExpired                         = 0.05 // less is not worth a word
	daysInWeek, shortestView, monthsMost = 7.0, 56.0, 8
)

func newCliff(pairs ...any) (*cliff, error) {
	c := &cliff{}
	return c, fill(c, pairs)
}

// Known tells whether there is stock to draw.
func (c *cliff) Known() bool { return len(c.Points) > 1 && c.most() > 0 }

// day counts the days from today to a date.
func (c *cliff) day(on string) float64 { return daysBetween(c.Today, on) }

// end is the last day of the picture: the stock is gone and the next order has come.
func (c *cliff) end() float64 {
	end := shortestView
	if n := len(c.Points); n > 0 {
		end = max(end, c.day(c.Points[n-1].On))
	}
	return max(end, c.day(c.NeededBy)+daysInWeek)
}

// most is the highest figure of the picture.
func (c *cliff) most() float64 {
	most := c.Level
	for _, p := range c.Points {
		most = max(most, p.Units)
	}
	return most
}

func (c *cliff) x(day float64) float64 {
	return tenth(cliffLeft + (cliffWidth-cliffLeft-cliffRight)*min(max(day, 0), c.end())/c.end())
}

func (c *cliff) y(units float64) float64 {
	top := c.scale() * float64(c.steps())
	return tenth(cliffHeight - cliffBottom - (cliffHeight-cliffTop-cliffBottom)*min(max(units, 0), top)/top)
}

// scale is the distance of two marks on the axis of units.
func (c *cliff) scale() float64 { return axisStep(max(c.most(), 0.1), 5) }

func (c *cliff) steps() int { return max(1, int(math.Ceil(c.most()/c.scale()-1e-9))) }

// drops are the cliffs in their order; lots of one day make one.
func (c *cliff) drops() []drop {
	var all []drop
	for _, l := range c.Lots {
		if l.Held != "" || l.WillExpire < leastExpired {
			continue
		}
		at := -1
		for i := range all {
			if all[i].on == l.ExpiresOn {
				at = i
			}
		}
		if at < 0 {
			at = len(all)
			all = append(all, drop{on: l.ExpiresOn, day: c.day(l.ExpiresOn)})
		}
		all[at].units += l.WillExpire
		all[at].lots = append(all[at].lots, l.Lot)
	}
	return all
}

// corner is one corner of a line, in days and units.
type corner struct{ day, units float64 }

// shelf is the line of what stands on the shelf. The points are a week apart; a drop within a week stands on its own day,
// where the lots explain what expired, and else at the end of the week.
func (c *cliff) shelf() []corner {
	var line []corner
	drops := c.drops()
	for i, p := range c.Points {
		if i > 0 {
			line = append(line, c.between(line[len(line)-1], c.Points[i-1], p, drops)...)
		}
		line = append(line, corner{c.day(p.On), p.Units})
	}
	return line
}

func (c *cliff) between(from corner, before, after cliffPoint, drops []drop) []corner {
	start, stop := c.day(before.On), c.day(after.On)
	var here []drop
	explained := 0.0
	for _, d := range drops {
		if d.day >= start && d.day < stop {
			here = append(here, d)
			explained += d.units
		}
	}
	if math.Abs(explained-after.Expired) > leastExpired {
		here = []drop{{day: stop, units: after.Expired}}
	}
	used := before.Units - after.Units - after.Expired
	var line []corner
	fallen := 0.0
	for _, d := range here {
		level := from.units - used*(d.day-start)/(stop-start) - fallen
		fallen += d.units
		line = append(line, corner{d.day, level}, corner{d.day, level - d.units})
	}
	return line
}

func (c *cliff) usable() []corner {
	line := make([]corner, len(c.Points))
	for i, p := range c.Points {
		line[i] = corner{c.day(p.On), p.Usable}
	}
	return line
}

func (c *cliff) path(line []corner) string {
	var out strings.Builder
	for i, at := range line {
		step := "L"
		if i == 0 {
			step = "M"
		}
		fmt.Fprintf(&out, "%s%g %g", step, c.x(at.day), c.y(at.units))
	}
	return out.String()
}

// Shelf is the path of the line of what stands on the shelf.
func (c *cliff) Shelf() string { return c.path(c.shelf()) }

// Usable is the path of the line of what is used in time.
func (c *cliff) Usable() string { return c.path(c.usable()) }

// Lost is the area between the two.
func (c *cliff) Lost() string {
	area, back := c.shelf(), c.usable()
	for i := len(back) - 1; i >= 0; i-- {
		area = append(area, back[i])
	}
	return c.path(area) + "Z"
}

// Kept is the area under the lower line.
func (c *cliff) Kept() string {
	area := c.usable()
	return c.path(append(area, corner{area[len(area)-1].day, 0}, corner{0, 0})) + "Z"
}

package reorder

import "spanroom/internal/unit"

// mostPoints bounds the picture of the use-by cliff: two years of weeks.
const mostPoints = 105

// Outlook is what becomes of one lot on hand at the forecast use.
type Outlook struct {
	Lot
	Used       float64 // before it expires; a lot that never expires counts whole
	WillExpire float64
}

// Point is the stock at the end of a day, on hand or arrived. Usable is the part of it that is used before it expires,
// Expired what expired unused in the week up to then.
type Point struct {
	On                     unit.Date
	Units, Usable, Expired float64
}

// projection is the stock of today followed until it is used or has expired.
type projection struct {
	OnHand, Usable, WillExpire float64
	Lots                       []Outlook
	Points                     []Point
}

// project follows the lots and the open orders, first expired first out at a steady use (R45). The use of today counts as
// done, and a lot that is past its date counts as expired.
func project(lots []Lot, onOrder []Arrival, perDay float64, today unit.Date) projection {
	stock := batches(lots, onOrder, today)
	uses := consume(stock, perDay)
	var p projection
	for i, l := range lots {
		o := Outlook{Lot: l, Used: l.Units}
		if !stock[i].lasts() {
			o.Used = min(l.Units, used(uses, i, 0, forever))
		}
		o.WillExpire = l.Units - o.Used
		p.Lots = append(p.Lots, o)
		p.OnHand += l.Units
		p.Usable += o.Used
		p.WillExpire += o.WillExpire
	}
	p.Points = points(stock, uses, today)
	return p
}

func points(stock []batch, uses []stretch, today unit.Date) []Point {
	last := 0.0
	for _, b := range stock {
		if !b.lasts() {
			last = max(last, b.until+1)
		}
	}
	last = max(last, lastDay(uses))
	var out []Point
	for week := 0; week < mostPoints; week++ {
		day := float64(7 * week)
		out = append(out, pointAt(stock, uses, day, today))
		if day >= last {
			break
		}
	}
	return out
}

func pointAt(stock []batch, uses []stretch, day float64, today unit.Date) Point {
	p := Point{On: today.AddDays(int(day))}
	for i, b := range stock {
		left := max(0, b.units-used(uses, i, 0, day))
		switch {
		case b.from > day:
			// not here yet
		case b.lasts():
			p.Units += left
			p.Usable += left
		case b.until >= day:
			p.Units += left
			p.Usable += used(uses, i, day, forever)
		case b.until >= max(0, day-7):
			p.Expired += left
		}
	}
	return p
}

func batches(lots []Lot, onOrder []Arrival, today unit.Date) []batch {
	var out []batch
	for _, l := range lots {
		out = append(out, l.batch(today))
	}
	for _, a := range onOrder {
		out = append(out, a.batch(today))
	}
	return out
}

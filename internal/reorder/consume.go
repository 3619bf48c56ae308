package reorder

import (
	"math"
	"sort"

	"spanroom/internal/unit"
)

// batch is stock in days from today: it can be used from the day it is there until it expires.
type batch struct{ units, from, until float64 }

var forever = math.Inf(1)

// lasts says that the stock never expires.
func (b batch) lasts() bool { return b.until == forever }

func arrivedBy(stock []batch, day float64) []batch {
	var out []batch
	for _, b := range stock {
		if b.from <= day {
			out = append(out, b)
		}
	}
	return out
}

// stretch is a run of days in which one batch is the one in use.
type stretch struct {
	batch           int
	from, to, units float64
}

func (l Lot) batch(today unit.Date) batch {
	return batch{units: l.Units, until: daysUntil(today, l.ExpiresOn)}
}

func (a Arrival) batch(today unit.Date) batch {
	return batch{units: a.Units, from: max(0, daysUntil(today, a.On)), until: daysUntil(today, a.ExpiresOn)}
}

func daysUntil(today, on unit.Date) float64 {
	if on == "" {
		return forever
	}
	return float64(today.DaysUntil(on))
}

// consume uses stock up at a steady rate, first expired first out; equal dates go in the order given. Each turn of the loop
// uses up a batch, passes its expiry or reaches an arrival, so there are at most three a batch.
func consume(stock []batch, perDay float64) []stretch {
	if perDay <= 0 {
		return nil
	}
	order := make([]int, len(stock))
	left := make([]float64, len(stock))
	for i := range stock {
		order[i], left[i] = i, stock[i].units
	}
	sort.SliceStable(order, func(a, b int) bool { return stock[order[a]].until < stock[order[b]].until })

	var out []stretch
	for day := 0.0; ; {
		at, next := -1, forever
		for _, i := range order {
			switch b := stock[i]; {
			case left[i] <= 0 || b.until <= day:
			case b.from > day:
				next = min(next, b.from)
			case at < 0:
				at = i
			}
		}
		if at < 0 && next == forever {
			return out
		}
		if at < 0 {
			day = next
			continue
		}
		take, stop := left[at], day+left[at]/perDay
		if end := min(stock[at].until, next); end < stop {
			take, stop = min(take, (end-day)*perDay), end
		}
		left[at] -= take
		out = append(out, stretch{at, day, stop, take})
		day = stop
	}
}

const every = -1 // for the batch of used: all of them

// used sums what the stretches use of a batch between two days.
func used(uses []stretch, of int, from, to float64) float64 {
	sum := 0.0
	for _, u := range uses {
		if of != every && of != u.batch {
			continue
		}
		switch lo, hi := max(from, u.from), min(to, u.to); {
		case lo <= u.from && hi >= u.to:
			sum += u.units
		case hi > lo:
			sum += u.units * (hi - lo) / (u.to - u.from)
		}
	}
	return sum
}

// lastDay is the day on which the last of the stock is used up or expires.
func lastDay(uses []stretch) float64 {
	if len(uses) == 0 {
		return 0
	}
	return uses[len(uses)-1].to
}

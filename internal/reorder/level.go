package reorder

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

const (
	farthest = 2 * 365 // days that the plan looks ahead for an order
	tiny     = 1e-9    // less than any unit that is counted
)

// Level is the usable position below which an order is due (R46): the use of lead time and review, and the spread of both
// demand and lead time at the service asked for. All times are in weeks.
func Level(perWeek, sd, leadWeeks, leadSDWeeks, reviewWeeks, service float64) float64 {
	d, s := rate(perWeek), clamp(sd, 0, absurd)
	cover := clamp(leadWeeks, 0, absurd) + clamp(reviewWeeks, 0, absurd)
	late := d * clamp(leadSDWeeks, 0, absurd)
	z := distuv.UnitNormal.Quantile(clamp(service, 1e-9, 1-1e-9))
	return max(0, d*cover+z*math.Sqrt(cover*s*s+late*late))
}

// level is that of the question under one supplier's terms.
func (q Question) level(t Terms) float64 {
	return Level(q.PerWeek, q.SD, inWeeks(t.LeadDays), inWeeks(t.LeadSDDays), inWeeks(t.ReviewDays), t.Service)
}

func inWeeks(days int) float64 { return float64(days) / 7 }

// position is the usable stock that is left on a day: on hand, or arriving within the days that an order of that day looks ahead.
func position(stock []batch, perDay, day, ahead float64) float64 {
	return used(consume(arrivedBy(stock, day+ahead), perDay), every, day, forever)
}

// dayBelow finds the first day on which the position is below the level, or nothing is left.
func dayBelow(stock []batch, perDay, level, ahead float64) (int, bool) {
	arrivals := append([]batch(nil), stock...)
	sort.SliceStable(arrivals, func(i, j int) bool { return arrivals[i].from < arrivals[j].from })
	near := 0
	var uses []stretch
	for day := 0; day <= farthest; day++ {
		seen := near
		for near < len(arrivals) && arrivals[near].from <= float64(day)+ahead {
			near++
		}
		if near > seen {
			uses = consume(arrivals[:near], perDay)
		}
		if left := used(uses, every, float64(day), forever); left < level-tiny || left <= tiny {
			return day, true
		}
	}
	return 0, false
}

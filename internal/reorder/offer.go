package reorder

import "math"

// Cap is the most that an order may be for all of it to be used before it expires (R47): the life on arrival, less the
// time that older stock still takes after the lead time, less a reserve, at the use a week. All times are in weeks.
func Cap(perWeek, lifeWeeks, olderWeeks, leadWeeks, reserveWeeks float64) int {
	units := usedInLife(perWeek, lifeWeeks, olderWeeks, leadWeeks) - rate(perWeek)*clamp(reserveWeeks, 0, absurd)
	return int(math.Floor(clamp(units, 0, absurd) + tiny))
}

// usedInLife is how much of a new lot can be used before it expires.
func usedInLife(perWeek, lifeWeeks, olderWeeks, leadWeeks float64) float64 {
	wait := max(0, clamp(olderWeeks, 0, absurd)-clamp(leadWeeks, 0, absurd))
	return rate(perWeek) * max(0, clamp(lifeWeeks, 0, absurd)-wait)
}

// offer is what one supplier's terms make of a need.
type offer struct {
	Terms
	smallest int     // units of the least order in whole packs
	wanted   int     // units that meet the need in whole packs
	inTime   float64 // units of a new lot that are used before they expire
	most     *int    // Q_max; nil where nothing expires
	fresh    *Fresh  // likewise
}

// offer asks for need units under the terms, in an order placed so many days from now. Older is the stock that is there when
// that order arrives.
func (p planning) offer(t Terms, need float64, day int) offer {
	o := offer{Terms: t, smallest: packed(t.MOQ, t.Pack), inTime: forever}
	o.wanted = max(o.smallest, packed(int(math.Ceil(clamp(need, 0, absurd)-tiny)), t.Pack))
	if t.MinimumLifeDays > 0 {
		life, lead := inWeeks(t.MinimumLifeDays), inWeeks(t.LeadDays)
		older := (lastDay(consume(arrivedBy(p.batches, float64(day+t.LeadDays)), p.perDay)) - float64(day)) / 7
		most := Cap(p.PerWeek, life, older, lead, inWeeks(t.ReserveDays))
		o.most, o.inTime = &most, usedInLife(p.PerWeek, life, older, lead)
		o.fresh = &Fresh{LifeWeeks: life, OlderWeeks: older, UsedInTime: o.inTime}
	}
	return o
}

// packed rounds up to whole packs.
func packed(units, pack int) int { return (units + pack - 1) / pack * pack }

// ceiling is the cap in whole packs.
func (o offer) ceiling() int {
	if o.most == nil {
		return math.MaxInt
	}
	return *o.most / o.Pack * o.Pack
}

// fits says that the least order is used up in time.
func (o offer) fits() bool { return o.smallest <= o.ceiling() }

// quantity meets the need as far as the cap lets it, or is the least order where even that does not fit.
func (o offer) quantity() int { return max(o.smallest, min(o.wanted, o.ceiling())) }

// left is what expires unused of an order.
func (o offer) left(units int) float64 { return max(0, float64(units)-o.inTime) }

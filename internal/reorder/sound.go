package reorder

import (
	"math"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// absurd is more than any storeroom holds, uses or orders; figures beyond it are mistakes.
const absurd = 1e9

const longest = 36500 // days

// possible keeps NaN, infinities, negative and absurd figures out of the plan.
func possible(f float64) bool { return f >= 0 && f <= absurd }

// rate is the use a week that can be reckoned with; what is impossible or vanishingly small is none.
func rate(perWeek float64) float64 {
	if !possible(perWeek) || perWeek < tiny {
		return 0
	}
	return perWeek
}

func clamp(f, low, high float64) float64 {
	if math.IsNaN(f) {
		return low
	}
	return min(max(f, low), high)
}

// sound takes out of the question what cannot be, and says so.
func (q Question) sound() (Question, []problem.Finding) {
	var wrong []string
	if !possible(q.PerWeek) || !possible(q.SD) {
		wrong = append(wrong, "the forecast")
	}
	q.PerWeek, q.SD = rate(q.PerWeek), clamp(q.SD, 0, absurd)
	var lots []Lot
	for _, l := range q.Lots {
		if possible(l.Units) {
			lots = append(lots, l)
		} else {
			wrong = append(wrong, "lot "+l.Lot)
		}
	}
	var orders []Arrival
	for _, a := range q.OnOrder {
		if possible(a.Units) && !a.On.Time().IsZero() {
			orders = append(orders, a)
		} else {
			wrong = append(wrong, "order "+a.Order)
		}
	}
	q.Lots, q.OnOrder = lots, orders
	q.Terms = q.Terms.sound()
	var others []Terms
	for _, t := range q.Others {
		others = append(others, t.sound())
	}
	q.Others = others

	var findings []problem.Finding
	for _, what := range wrong {
		findings = append(findings, q.note("R45", what+" has an impossible figure and is left out", "correct it"))
	}
	return q, findings
}

// sound bounds the terms: no pack below one, no service below an even chance, no time beyond a century.
func (t Terms) sound() Terms {
	t.Pack, t.MOQ = min(max(1, t.Pack), absurd), min(max(1, t.MOQ), absurd)
	for _, days := range []*int{&t.LeadDays, &t.LeadSDDays, &t.MinimumLifeDays, &t.ReviewDays, &t.ReserveDays} {
		*days = min(max(0, *days), longest)
	}
	t.Service = clamp(t.Service, 0.5, 0.9999)
	t.Price.Minor = max(0, t.Price.Minor)
	return t
}

func (q Question) note(rule, text, advice string) problem.Finding {
	return problem.Finding{Rule: rule, Severity: problem.Note, Subject: q.Item, Text: text, Advice: advice}
}

// worth prices units of a pack that costs so much; a sum beyond what money can hold stays at that bound.
func (t Terms) worth(units float64) unit.Money {
	share := units / float64(t.Pack)
	if float64(t.Price.Minor)*share > math.MaxInt64/2 {
		return unit.Money{Minor: math.MaxInt64 / 2, Currency: t.Price.Currency}
	}
	return t.Price.Share(share)
}

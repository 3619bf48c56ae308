package reorder

import (
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// Plan answers the question for today: what is usable, until when an order must be placed, and how much is to be ordered now.
func Plan(q Question) Line {
	q, findings := q.sound()
	line := Line{Item: q.Item, Unit: q.Unit, Supplier: q.Supplier, Article: q.Article, State: Enough, Findings: findings}
	if q.Today.Time().IsZero() {
		line.Why = "the plan has no date"
		return line
	}
	p := q.place()
	p.stock(&line)
	switch {
	case q.PerWeek == 0:
		line.Why = "no use is forecast" + p.expiring(line)
	case strings.TrimSpace(q.Supplier) == "":
		line.State = ToDecide
		line.Decide = &Decide{Why: "no supplier is set", Options: []Option{p.goWithout()}}
		line.Why = line.Decide.Why + ": " + p.lasting()
	case q.LeadUnknown:
		p.ask(&line)
	default:
		p.order(&line)
	}
	line.Findings = problem.Sort(append(line.Findings, p.notes(line)...))
	for _, h := range line.Held {
		line.Why += "; " + h.Text
	}
	return line
}

// planning is a sound question with its stock in days from today.
type planning struct {
	Question
	counted []Lot // not held
	batches []batch
	perDay  float64
	dry     float64 // days until nothing is left, if only until the next arrival
}

func (q Question) place() planning {
	p := planning{Question: q, perDay: q.PerWeek / 7}
	for _, l := range q.Lots {
		if !l.Held {
			p.counted = append(p.counted, l)
		}
	}
	p.batches = batches(p.counted, q.OnOrder, q.Today)
	p.dry = firstGap(consume(p.batches, p.perDay))
	return p
}

// stock fills in what is here, what comes and what becomes of it.
func (p planning) stock(line *Line) {
	seen := project(p.counted, p.OnOrder, p.perDay, p.Today)
	line.OnHand, line.Usable, line.WillExpire = seen.OnHand, seen.Usable, seen.WillExpire
	line.Lots, line.Projection = seen.Lots, seen.Points
	for _, a := range p.OnOrder {
		line.OnOrder += a.Units
	}
	line.ExpectedWaste = Waste{seen.WillExpire, p.worth(seen.WillExpire)}
	line.Held = p.held()
	if p.perDay > 0 && p.dry <= farthest {
		line.RunsOut = p.Today.AddDays(int(p.dry))
	}
}

// ask wants the lead time, without which there is no date to order by; suppliers whose lead time is known could stand in.
func (p planning) ask(line *Line) {
	line.State = ToDecide
	line.Decide = &Decide{Why: p.leadMissing(), Options: append([]Option{p.goWithout()}, p.elsewhere()...)}
	line.Why = line.Decide.Why + ": " + p.lasting()
	line.Findings = append(line.Findings, p.note("R46", p.leadMissing()+", so no date to order by can be given", "enter it with the supplier in the catalogue"))
}

func (t Terms) leadMissing() string { return "the lead time of " + t.Supplier + " is not entered" }

// order finds the date of the next order, and its quantity when that is today.
func (p planning) order(line *Line) {
	ahead := float64(p.LeadDays + p.ReviewDays)
	line.Level = p.level(p.Terms)
	offer := p.offer(p.Terms, line.Level-position(p.batches, p.perDay, 0, ahead), 0)
	line.QMax, line.Fresh = offer.most, offer.fresh
	day, due := dayBelow(p.batches, p.perDay, line.Level, ahead)
	if !due {
		line.Why = p.usable(*line) + " lasts for more than two years"
		return
	}
	line.OrderBy = p.Today.AddDays(day)
	line.NeededBy = line.OrderBy.AddDays(p.LeadDays)
	switch {
	case !p.offer(p.Terms, 0, day).fits() && float64(day) <= ahead:
		line.State = ToDecide
		line.Decide = p.decide(offer)
		line.Why = line.Decide.Why
	case day > 0:
		line.State = Later
		line.Why = p.usable(*line) + " falls to the level of " + figure(line.Level) + " on " + line.OrderBy.Words()
	default:
		line.State = OrderNow
		line.Why = p.usable(*line) + " is below the level of " + figure(line.Level) + " for " + weeks(ahead) + " of lead time and review"
		p.propose(line, offer)
	}
}

func (p planning) propose(line *Line, o offer) {
	line.Proposed = o.quantity()
	line.ProposedPacks = line.Proposed / o.Pack
	line.Cost = o.worth(float64(line.Proposed))
	units := line.WillExpire + o.left(line.Proposed)
	line.ExpectedWaste = Waste{units, p.worth(units)}
	if line.Proposed < o.wanted {
		line.Findings = append(line.Findings, p.note("R47",
			p.count(float64(o.wanted))+" would reach the level, only "+figure(float64(*o.most))+" are used before they expire",
			"order again at the next review, or ask for a longer life on arrival"))
	}
}

// firstGap is the day on which stock first runs dry.
func firstGap(uses []stretch) float64 {
	day := 0.0
	for _, u := range uses {
		if u.from > day {
			break
		}
		day = u.to
	}
	return day
}

func (p planning) lastsUntil() unit.Date { return p.Today.AddDays(int(min(p.dry, longest))) }

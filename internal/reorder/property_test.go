package reorder

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/unit"
)

func drawLots(t *rapid.T) []Lot {
	var out []Lot
	for i := range rapid.IntRange(0, 6).Draw(t, "lots") {
		l := Lot{Lot: fmt.Sprint(i), Units: rapid.Float64Range(0, 30).Draw(t, "units"), Held: rapid.IntRange(0, 4).Draw(t, "held") == 0}
		if rapid.IntRange(0, 5).Draw(t, "never") > 0 {
			l.ExpiresOn = today.AddDays(rapid.IntRange(-30, 500).Draw(t, "expires"))
		}
		out = append(out, l)
	}
	return out
}

func drawArrivals(t *rapid.T) []Arrival {
	var out []Arrival
	for range rapid.IntRange(0, 3).Draw(t, "orders") {
		on := today.AddDays(rapid.IntRange(-10, 150).Draw(t, "on"))
		out = append(out, Arrival{On: on, Units: rapid.Float64Range(0, 20).Draw(t, "arriving"), ExpiresOn: on.AddDays(rapid.IntRange(0, 300).Draw(t, "life"))})
	}
	return out
}

func drawTerms(t *rapid.T) Terms {
	return Terms{
		Supplier: "Northbank Gases", Price: eur(rapid.Int64Range(0, 100000).Draw(t, "price")),
		Pack: rapid.IntRange(1, 12).Draw(t, "pack"), MOQ: rapid.IntRange(1, 24).Draw(t, "moq"),
		LeadDays: rapid.IntRange(0, 90).Draw(t, "lead"), LeadSDDays: rapid.IntRange(0, 20).Draw(t, "lead sd"), ReviewDays: rapid.IntRange(0, 30).Draw(t, "review"),
		MinimumLifeDays: rapid.IntRange(0, 400).Draw(t, "life"), ReserveDays: rapid.IntRange(0, 30).Draw(t, "reserve"), Service: rapid.Float64Range(0.5, 0.999).Draw(t, "service"),
	}
}

func drawQuestion(t *rapid.T) Question {
	return Question{
		Item: "Q4", Unit: "cylinder", Today: today, PerWeek: rapid.Float64Range(0, 5).Draw(t, "per week"), SD: rapid.Float64Range(0, 3).Draw(t, "sd"),
		Lots: drawLots(t), OnOrder: drawArrivals(t), Terms: drawTerms(t),
	}
}

func TestUsableAndExpiringAreWhatIsOnHand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lots, perWeek := drawLots(t), rapid.Float64Range(0, 5).Draw(t, "per week")
		onHand, ahead := 0.0, 0.0
		p := stockOnly(perWeek, lots...)
		for _, l := range lots {
			if !l.Held {
				onHand += l.Units
			}
		}
		if p.Usable > onHand+1e-9 || p.Usable < 0 || p.WillExpire < 0 || !near(p.Usable+p.WillExpire, onHand, 1e-9) {
			t.Fatalf("usable %v, will expire %v, on hand %v", p.Usable, p.WillExpire, onHand)
		}
		for _, l := range p.Lots {
			if l.ExpiresOn == "" || l.ExpiresOn >= today {
				ahead += l.WillExpire
			}
		}
		drawn, before := 0.0, math.Inf(1)
		for _, point := range p.Projection {
			drawn += point.Expired
			if point.Usable > point.Units+1e-9 || point.Units > before+1e-9 {
				t.Fatalf("point %+v after %v units", point, before)
			}
			before = point.Units
		}
		if !near(drawn, ahead, 1e-7) {
			t.Fatalf("the picture lets %v expire, the lots %v", drawn, ahead)
		}
	})
}

func TestDailyStepsAgreeWithTheStretches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stock := batches(drawLots(t), drawArrivals(t), today)
		const steps, perDay = 400, 0.25 // powers of two: the steps add up exactly
		for i := range stock {
			stock[i].units = math.Floor(stock[i].units*4) / 4
		}
		left := make([]float64, len(stock))
		for i, b := range stock {
			left[i] = b.units
		}
		for day := 0.0; day < steps; day++ {
			first := -1
			for i, b := range stock {
				if left[i] > 0 && b.from <= day && b.until > day && (first < 0 || b.until < stock[first].until) {
					first = i
				}
			}
			if first >= 0 {
				left[first] -= perDay
			}
		}
		uses := consume(stock, perDay)
		for i, b := range stock {
			if got := used(uses, i, 0, steps); !near(got, b.units-left[i], 1e-9) {
				t.Fatalf("batch %d of %+v: %v used, day by day %v", i, stock, got, b.units-left[i])
			}
		}
	})
}

func TestMoreStockIsNeverAnEarlierOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := drawQuestion(t)
		before := Plan(q)
		more := rapid.Float64Range(0, 20).Draw(t, "more")
		switch n := len(q.Lots) + len(q.OnOrder); {
		case n == 0 || rapid.Bool().Draw(t, "a new lot"):
			q.Lots = append(q.Lots, Lot{Units: more, ExpiresOn: today.AddDays(rapid.IntRange(-5, 400).Draw(t, "its life"))})
		default:
			if at := rapid.IntRange(0, n-1).Draw(t, "at"); at < len(q.Lots) {
				q.Lots[at].Units += more
			} else {
				q.OnOrder[at-len(q.Lots)].Units += more
			}
		}
		if after := Plan(q); earlier(after.OrderBy, before.OrderBy) {
			t.Fatalf("with more stock the order is due on %q, without on %q", after.OrderBy, before.OrderBy)
		}
	})
}

// earlier compares dates where none means never.
func earlier(a, b unit.Date) bool { return a != "" && (b == "" || a < b) }

func TestProposalKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := drawQuestion(t)
		l := Plan(q)
		if l.OrderBy != "" && l.OrderBy < today {
			t.Fatalf("order by %s", l.OrderBy)
		}
		if (l.State == ToDecide) != (l.Decide != nil) || l.Proposed > 0 != (l.State == OrderNow) {
			t.Fatalf("%s with %d proposed and %+v", l.State, l.Proposed, l.Decide)
		}
		if l.State != OrderNow {
			return
		}
		if l.QMax != nil && l.Proposed > *l.QMax {
			t.Fatalf("%d proposed with a cap of %d", l.Proposed, *l.QMax)
		}
		if l.Proposed < q.MOQ || l.Proposed != l.ProposedPacks*q.Pack {
			t.Fatalf("%d proposed in %d packs of %d, MOQ %d", l.Proposed, l.ProposedPacks, q.Pack, q.MOQ)
		}
		reached := position(batches(free(q.Lots), q.OnOrder, today), q.PerWeek/7, 0, float64(q.LeadDays+q.ReviewDays)) + float64(l.Proposed)
		capped := l.QMax != nil && l.Proposed+q.Pack > *l.QMax
		if reached < l.Level-1e-6 && !capped {
			t.Fatalf("%d proposed reach %v, the level is %v", l.Proposed, reached, l.Level)
		}
		if spare := reached - float64(q.Pack); spare > l.Level+1e-6 && l.Proposed-q.Pack >= q.MOQ {
			t.Fatalf("%d proposed, a pack less would reach %v of %v", l.Proposed, spare, l.Level)
		}
	})
}

func free(lots []Lot) []Lot {
	var out []Lot
	for _, l := range lots {
		if !l.Held {
			out = append(out, l)
		}
	}
	return out
}

func TestLevelRisesWithService(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, sd := rapid.Float64Range(0, 50).Draw(t, "d"), rapid.Float64Range(0.01, 20).Draw(t, "sd")
		lead, leadSD, review := rapid.Float64Range(0.1, 20).Draw(t, "lead"), rapid.Float64Range(0, 5).Draw(t, "lead sd"), rapid.Float64Range(0, 8).Draw(t, "review")
		low := rapid.Float64Range(0.5, 0.99).Draw(t, "low")
		high := rapid.Float64Range(low+0.001, 0.999).Draw(t, "high")
		if a, b := Level(d, sd, lead, leadSD, review, low), Level(d, sd, lead, leadSD, review, high); b <= a {
			t.Fatalf("level %v at %v, %v at %v", a, low, b, high)
		}
	})
}

// Whatever comes in, the line has figures that can be printed, and it comes in time.
func TestNoQuestionBreaksThePlan(t *testing.T) {
	odd := rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{0, -1, 1e-12, 1e9, 1e308, math.NaN(), math.Inf(1), math.Inf(-1)}))
	number := rapid.OneOf(rapid.Int(), rapid.IntRange(-3, 100))
	date := rapid.SampledFrom([]unit.Date{"", "soon", "0001-01-01", "1900-01-01", "2027-03-03", "2027-04-01", "2199-12-31", "9999-12-31"})
	terms := func(t *rapid.T) Terms {
		return Terms{
			Supplier: rapid.SampledFrom([]string{"", "A", "B"}).Draw(t, "supplier"), Price: eur(rapid.Int64().Draw(t, "price")),
			Pack: number.Draw(t, "pack"), MOQ: number.Draw(t, "moq"), LeadDays: number.Draw(t, "lead"), LeadSDDays: number.Draw(t, "lead sd"),
			ReviewDays: number.Draw(t, "review"), MinimumLifeDays: number.Draw(t, "life"), ReserveDays: number.Draw(t, "reserve"), Service: odd.Draw(t, "service"),
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		q := Question{Today: date.Draw(t, "today"), PerWeek: odd.Draw(t, "per week"), SD: odd.Draw(t, "sd"), Terms: terms(t), Others: []Terms{terms(t)}}
		for range rapid.IntRange(0, 4).Draw(t, "lots") {
			q.Lots = append(q.Lots, Lot{Units: odd.Draw(t, "units"), ExpiresOn: date.Draw(t, "expires"), Held: rapid.Bool().Draw(t, "held")})
			q.OnOrder = append(q.OnOrder, Arrival{Units: odd.Draw(t, "arriving"), On: date.Draw(t, "on"), ExpiresOn: date.Draw(t, "its expiry")})
		}
		l := Plan(q)
		figures := []float64{l.OnHand, l.Usable, l.WillExpire, l.OnOrder, l.Level, l.ExpectedWaste.Units, float64(l.Proposed), float64(l.Cost.Minor)}
		for _, p := range l.Projection {
			figures = append(figures, p.Units, p.Usable, p.Expired)
		}
		if l.Decide != nil {
			for _, o := range l.Decide.Options {
				figures = append(figures, o.WasteUnits, float64(o.Quantity), float64(o.Cost.Minor), float64(o.Waste.Minor))
			}
		}
		for _, f := range figures {
			if math.IsNaN(f) || math.IsInf(f, 0) || f < 0 {
				t.Fatalf("%v in %+v", f, l)
			}
		}
		if l.Why == "" || l.State == "" || len(l.Projection) > mostPoints {
			t.Fatalf("%+v", l)
		}
	})
}

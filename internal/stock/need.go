package stock

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"spanroom/internal/catalogue"
	"spanroom/internal/gas"
	"spanroom/internal/unit"
	"spanroom/models"
)

// need is what a check-out asks of a cylinder.
type need struct {
	purpose   Purpose // the most exacting of its tests
	tests     []testCount
	from      unit.Date // first and last day of use
	until     unit.Date
	asker     int64    // the person who asks; 0 where nobody in particular does
	place     string   // where the person is who asks
	vehicle   bool     // that is one, and may get hot
	on        group    // every instrument that is named, whichever test it has
	serials   []string // theirs, in the order of the request
	along     kitSet   // what is taken along, as far as it is named
	mayExpire bool     // a supervisor may pass an expired cylinder for bump tests, and the site allows it
	lowOnly   bool     // bumps are to prove the low alarms alone
	entering  bool     // the instruments are set to what is in this cylinder
	retryPct  float64
	air       float64 // the site's air over the standard one, for what pumps draw; 0 is 1 (R14c)
}

// testCount is a number of tests by one procedure, and the instruments that have it where they are named.
type testCount struct {
	models.Procedure
	Count int64
	on    group
}

// flow is what a test draws per minute: the regulator's, where it is fixed; what the strongest of the pumps draws, where it gives
// on demand; else the procedure's.
func (n need) flow(p models.Procedure) float64 {
	r := n.along.regulator
	switch {
	case r == nil:
	case r.Mode == catalogue.FixedFlow && r.Flow > 0:
		return r.Flow.LitresPerMinute()
	case r.Mode == catalogue.DemandFlow && n.pumps() > 0:
		return n.pumps().LitresPerMinute() * cmp.Or(n.air, 1)
	}
	return p.Flow.LitresPerMinute()
}

// pumps is the rate of the strongest pump among the instruments, 0 where none is known.
func (n need) pumps() unit.Flow {
	var most unit.Flow
	for _, m := range n.on {
		most = max(most, m.PumpFlow)
	}
	return most
}

// testLitres is what one test by a procedure takes.
func (n need) testLitres(p models.Procedure) float64 { return n.flow(p) * p.Duration.Minutes() }

// purgeLitres is what goes through regulator and tubing before the first test: once a check-out, for the procedure that wants most.
func (n need) purgeLitres() float64 {
	most := 0.0
	for _, t := range n.tests {
		most = math.Max(most, n.purgeOf(t.Procedure))
	}
	return most
}

func (n need) purgeOf(p models.Procedure) float64 {
	return p.Purge.Litres() + p.Conditioning.Minutes()*n.flow(p)
}

// litres is the whole need: tests, purge and the allowance for repeats (R11).
func (n need) litres() float64 {
	sum := 0.0
	for _, t := range n.tests {
		sum += n.testLitres(t.Procedure) * float64(t.Count)
	}
	return tidy(sum*(1+n.retryPct/100) + n.purgeLitres())
}

// tidy takes the last digits off a sum of litres, which are of the computer's own making: 3.6, not 3.5999999999999996.
func tidy(litres float64) float64 { return math.Round(litres*1e6) / 1e6 }

// draw is one test of a procedure for counting what is left.
func (n need) draw(p models.Procedure, flowLimitPct float64) gas.Draw {
	return gas.Draw{FlowLMin: n.flow(p), Minutes: p.Duration.Minutes(), FlowLimitPct: flowLimitPct}
}

// minimumInlet is the pressure that the regulator needs, or 0.
func (n need) minimumInlet() unit.Pressure {
	if n.along.regulator == nil {
		return 0
	}
	return n.along.regulator.MinimumInlet
}

// dryAt says at which instrument, or at which test through all procedures, an amount of gas runs out.
func (n need) dryAt(litres float64) string {
	litres -= n.purgeLitres()
	word, done := "test", int64(0)
	if len(n.tests) == 1 {
		word = "instrument"
	}
	for _, t := range n.tests {
		fit := n.fitting(t, litres)
		if fit < t.Count {
			return fmt.Sprintf("%s %d", word, done+fit+1)
		}
		litres -= n.withRepeats(t) * float64(t.Count)
		done += t.Count
	}
	return fmt.Sprintf("%s %d", word, done)
}

// withRepeats is what one test takes with its share of the allowance for repeats.
func (n need) withRepeats(t testCount) float64 {
	return n.testLitres(t.Procedure) * (1 + n.retryPct/100)
}

// fitting counts how many of these tests an amount of gas serves.
func (n need) fitting(t testCount, litres float64) int64 {
	const rounding = 1e-9
	return int64(math.Min(float64(t.Count), math.Max(0, math.Floor(litres/n.withRepeats(t)+rounding))))
}

// split parts the need in two: the tests that an amount of gas serves, and the rest.
func (n need) split(litres float64) (first, rest need) {
	first, rest = n, n
	first.tests, rest.tests = nil, nil
	litres -= n.purgeLitres()
	for _, t := range n.tests {
		fit := n.fitting(t, litres)
		litres -= n.withRepeats(t) * float64(fit)
		if fit > 0 {
			first.tests = append(first.tests, testCount{t.Procedure, fit, t.on})
		}
		if fit < t.Count {
			rest.tests = append(rest.tests, testCount{t.Procedure, t.Count - fit, t.on})
		}
	}
	return first, rest
}

// withSet is the need with a regulator set.
func (n need) withSet(set kitSet) need {
	n.along = set
	return n
}

// exacting ranks the purposes from the one that asks least of the gas.
func (p Purpose) exacting() int {
	return slices.Index([]Purpose{Bump, Line, Zero, Check, Calibration}, p)
}

// most is the more exacting of the purposes of the tests.
func most(tests []testCount) Purpose {
	worst := Bump
	for _, t := range tests {
		if p := Purpose(t.Purpose); p.exacting() > worst.exacting() {
			worst = p
		}
	}
	return worst
}

package demo

import (
	"math"
	"slices"
	"testing"
)

// A year has twelve monthly sessions, and each instrument the bumps that its round promises.
func TestCalendar(t *testing.T) {
	months, tests := 0, map[string]int{}
	for day := -364; day < 0; day++ {
		if weekdayOf(day) == thursday && onceAMonth(day) {
			months++
		}
		for _, s := range sessionsOn(day) {
			for _, l := range s.lines {
				for _, serial := range l.instruments {
					tests[l.procedure+" "+serial]++
				}
			}
		}
	}
	if months != 12 {
		t.Errorf("%d monthly days", months)
	}
	for what, want := range map[string]int{
		bumpQ4 + " D-001": 156, bumpQ4 + " P-012": 156, bumpQ4 + " D-044": 17, calQ4 + " D-042": 12, calQ4 + " P-005": 11, calQ4 + " D-044": 0, bumpCL + " C-06": 52, calCL + " C-01": 12, bumpNH + " N-04": 42,
	} {
		if tests[what] != want {
			t.Errorf("%s: %d times, want %d", what, tests[what], want)
		}
	}
}

func TestOdditiesFallOnSessions(t *testing.T) {
	for day, odd := range oddities {
		sessions := sessionsOn(day)
		if len(sessions) == 0 {
			t.Errorf("day %d has no session", day)
			continue
		}
		s := sessions[0]
		odd(&s)
		if s.lost == 0 && !s.notFound && !s.noGauge {
			t.Errorf("day %d goes as always", day)
		}
	}
}

func TestDeliveriesAreComplete(t *testing.T) {
	all := delivered()
	if !slices.IsSortedFunc(all, func(a, b delivery) int { return a.day - b.day }) {
		t.Error("they are not in order")
	}
	papers, lots := map[string]bool{}, map[string]bool{}
	for _, d := range all {
		if d.day <= firstDay || d.day >= 0 || d.filled >= d.day || d.expires <= d.day {
			t.Errorf("%s of %s: filled %d, delivered %d, expires %d", d.lot, d.supplier, d.filled, d.day, d.expires)
		}
		if d.paper != "" && len(d.values) != len(certified[d.item]) {
			t.Errorf("%s of %s: %d values for %d components", d.lot, d.supplier, len(d.values), len(certified[d.item]))
		}
		if key := d.supplier + " " + d.lot; lots[key] || d.paper != "" && papers[d.paper] {
			t.Errorf("%s or its certificate %s is there twice", key, d.paper)
		}
		lots[d.supplier+" "+d.lot], papers[d.paper] = true, true
	}
	if !lots["northbank 7K-2206"] || !lots["ferrow 7K-2206"] {
		t.Error("no text names two lots")
	}
}

// Luck is the same in every run, stays within its size and comes both ways.
func TestLuck(t *testing.T) {
	one, other := &house{}, &house{}
	low, high := 0.0, 0.0
	for range 500 {
		x := one.luck(2)
		low, high = min(low, x), max(high, x)
		if y := other.luck(2); x != y {
			t.Fatalf("%g and %g", x, y)
		}
	}
	if low < -2 || high > 2 || low > -1.9 || high < 1.9 {
		t.Errorf("from %g to %g", low, high)
	}
}

func TestResultsFailNowAndThen(t *testing.T) {
	h, failed := &house{}, 0
	for range 10 {
		for _, r := range h.results(session{lines: []line{{bumpQ4, wornThere}, {calQ4, diffusion}}}) {
			if r.Result == "fail" {
				failed++
			}
			if calibrated := r.Procedure == calQ4 && r.Result == "pass"; calibrated != (r.AsLeft != nil) {
				t.Errorf("%+v", r)
			}
		}
	}
	if want := 10 * (56 + 42) / oneFailsIn; failed != want {
		t.Errorf("%d of 980 failed, want %d", failed, want)
	}
}

// A cylinder is finished as soon as less is left in it than the next session may want.
func TestInsideACylinder(t *testing.T) {
	full := inside{bar: 69, barPerL: 1.013, cutoff: 2}
	for _, c := range []struct {
		litres, least, bar float64
		goesOn             bool
	}{{0, 8.7, 69, true}, {10, 8.7, 58.87, true}, {57, 8.7, 11.259, true}, {58, 8.7, 10.246, false}, {58, 0, 10.246, true}} {
		left, goesOn := full.draw(c.litres, c.least)
		if math.Abs(left.bar-c.bar) > 1e-9 || goesOn != c.goesOn {
			t.Errorf("%g L out: %g bar, goes on %v", c.litres, left.bar, goesOn)
		}
	}
	if full.bar != 69 {
		t.Error("gas was drawn from what it was compared with")
	}
}

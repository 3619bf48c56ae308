package gas

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

var bump = Draw{FlowLMin: 0.5, Minutes: 1, LossL: 0.05, FlowLimitPct: 10, DurationLimitPct: 5}

func anyDraw(t *rapid.T) Draw {
	return Draw{
		FlowLMin: rapid.Float64Range(0.05, 5).Draw(t, "flow"), Minutes: rapid.Float64Range(0.1, 10).Draw(t, "minutes"),
		LossL: rapid.Float64Range(0, 5).Draw(t, "loss"), FlowLimitPct: rapid.Float64Range(0, 90).Draw(t, "flow limit"),
		DurationLimitPct: rapid.Float64Range(0, 90).Draw(t, "duration limit"),
	}
}

func TestTestsByHand(t *testing.T) {
	u := Usable{Litres: 57.2, Uncertainty: 1.1, Worst: 52, Best: 62}
	got := u.Tests(Draw{FlowLMin: 0.5, Minutes: 1, LossL: 0.05, FlowLimitPct: 10})
	// 57.2/0.55 = 104.0; u = hypot(1.1/0.55, (57.2/0.50 − 57.2/0.60)/2/√3) = hypot(2.00, 5.50) = 5.86
	want := Tests{Expected: 104, Low: 92, High: 115, Worst: 86, Best: 124}
	if got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
}

func TestLossHasNoLimit(t *testing.T) {
	u := Usable{Litres: 100.5, Worst: 100.5, Best: 100.5}
	got := u.Tests(Draw{FlowLMin: 0.0001, Minutes: 0.0001, LossL: 1, FlowLimitPct: 90, DurationLimitPct: 90})
	if want := (Tests{100, 100, 100, 100, 100}); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
}

func TestTestsAreOrderedAndNeverNegative(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u, err := anyReading(t).Usable()
		if err != nil {
			t.Skip("liquid may be present")
		}
		n := u.Tests(anyDraw(t))
		if !(0 <= n.Low && n.Low <= n.Expected && n.Expected <= n.High && 0 <= n.Worst && n.Worst <= n.Expected && n.Expected <= n.Best) {
			t.Fatalf("out of order: %+v", n)
		}
	})
}

func TestMoreFlowNeverMoreTests(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u, err := anyReading(t).Usable()
		if err != nil {
			t.Skip("liquid may be present")
		}
		d := anyDraw(t)
		more := d
		more.FlowLMin *= rapid.Float64Range(1, 10).Draw(t, "times")
		a, b := u.Tests(d), u.Tests(more)
		if b.Expected > a.Expected || b.Worst > a.Worst || b.Best > a.Best {
			t.Fatalf("%+v at %v L/min, %+v at %v L/min", a, d.FlowLMin, b, more.FlowLMin)
		}
	})
}

func TestNoTestsWithoutADraw(t *testing.T) {
	u := Usable{Litres: 60, Worst: 50, Best: 70, Uncertainty: 3}
	for _, d := range []Draw{{}, {FlowLMin: math.NaN(), Minutes: 1}, {FlowLMin: math.Inf(1), Minutes: 1}, {FlowLMin: 1, Minutes: 1, FlowLimitPct: 100}} {
		if n := u.Tests(d); n != (Tests{}) {
			t.Errorf("%+v: got %+v", d, n)
		}
	}
	if n := (Usable{BelowHeel: true}).Tests(bump); n != (Tests{}) {
		t.Errorf("below the heel: got %+v", n)
	}
	wantFields(t, Draw{LossL: -1, FlowLimitPct: 91, DurationLimitPct: math.NaN()}.Check(),
		"flow_l_min", "duration_min", "loss_l_per_test", "flow_limit_pct", "duration_limit_pct")
}

func TestEndlessTestsStayCountable(t *testing.T) {
	u := Usable{Litres: 1e12, Worst: 1e12, Best: 1e12}
	if n := u.Tests(Draw{FlowLMin: 0.0001, Minutes: 0.0001}); n.Best != math.MaxInt32 || n.Expected != math.MaxInt32 {
		t.Errorf("got %+v", n)
	}
}

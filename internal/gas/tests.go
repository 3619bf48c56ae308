package gas

import (
	"math"

	"spanroom/internal/problem"
)

// Draw is what one test takes: flow for some minutes, and a loss that no limit acts on.
type Draw struct {
	FlowLMin, Minutes, LossL, FlowLimitPct, DurationLimitPct float64
}

// Check tells what is wrong with a draw.
func (d Draw) Check() error {
	var wrong problem.Fields
	flows.check(&wrong, "flow_l_min", d.FlowLMin)
	durations.check(&wrong, "duration_min", d.Minutes)
	losses.check(&wrong, "loss_l_per_test", d.LossL)
	percents.check(&wrong, "flow_limit_pct", d.FlowLimitPct)
	percents.check(&wrong, "duration_limit_pct", d.DurationLimitPct)
	return wrong.Err()
}

// litres is what a test takes when flow and duration are off by these shares.
func (d Draw) litres(flow, duration float64) float64 {
	return d.FlowLMin*(1+flow)*d.Minutes*(1+duration) + d.LossL
}

// Tests counts whole tests: as expected, at the ends of the k = 2 interval, and with all limits at once.
type Tests struct {
	Expected, Low, High, Worst, Best int
}

// Tests gives how many draws are left. A draw that does not pass Check gives none.
func (u Usable) Tests(d Draw) Tests {
	if u.BelowHeel || d.Check() != nil {
		return Tests{}
	}
	flow, duration := d.FlowLimitPct/100, d.DurationLimitPct/100
	count := u.Litres / d.litres(0, 0)
	uncertainty := rootSumSquare(
		u.Uncertainty/d.litres(0, 0),
		rectangular*(u.Litres/d.litres(-flow, 0)-u.Litres/d.litres(flow, 0))/2,
		rectangular*(u.Litres/d.litres(0, -duration)-u.Litres/d.litres(0, duration))/2)
	return Tests{
		Expected: whole(count),
		Low:      whole(count - 2*uncertainty),
		High:     whole(count + 2*uncertainty),
		Worst:    whole(u.Worst / d.litres(flow, duration)),
		Best:     whole(u.Best / d.litres(-flow, -duration)),
	}
}

// whole counts down to whole tests, never below none.
func whole(count float64) int {
	return int(math.Floor(math.Min(math.Max(count, 0), math.MaxInt32)))
}

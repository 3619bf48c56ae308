package gas

import (
	"math"

	"spanroom/internal/problem"
)

// Reading is a content with the heel below which it may not be used, and the limits of error of what was read:
// the half-widths of gauge and temperature, and of the water volume in percent. The heel is taken as exact.
type Reading struct {
	Content
	HeelBar, GaugeLimitBar, TemperatureLimitK, VolumeLimitPct float64
}

// Usable is what can be drawn before the heel is reached, in litres at the reference condition.
type Usable struct {
	Litres      float64
	Low, High   float64 // k = 2 interval from gauge, temperature and volume; Low is never negative
	Worst, Best float64 // all three limits at once; Worst may be negative
	Uncertainty float64 // standard, k = 1
	BelowHeel   bool    // the reading is at or below the heel: nothing is left, and no interval is given
}

// rectangular is 1/√3: it turns the half-width of a rectangular distribution into its standard uncertainty.
const rectangular = 0.5773502691896258

// Usable gives what is left above the heel. It refuses where liquid may be present.
func (r Reading) Usable() (Usable, error) {
	if err := r.check(); err != nil {
		return Usable{}, err
	}
	if err := r.Mixture.mayBeLiquid(r.Kelvin, r.absolute()); err != nil {
		return Usable{}, err
	}
	if r.GaugeBar <= r.HeelBar {
		return Usable{BelowHeel: true}, nil
	}
	u := r.interval()
	if math.IsNaN(u.Litres + u.Uncertainty + u.Worst + u.Best) {
		return Usable{}, noGas(r.absolute(), r.Kelvin)
	}
	return u, nil
}

// interval moves each input by its limit on its own; half the difference is what it contributes.
func (r Reading) interval() Usable {
	scale := r.WaterL / r.referenceDensity()
	drawn := func(s State, gaugeBar float64) float64 {
		return scale * (s.density(gaugeBar+r.AtmBar) - s.density(r.HeelBar+r.AtmBar))
	}
	now, warm, cold := r.Mixture.At(r.Kelvin), r.Mixture.At(r.Kelvin+r.TemperatureLimitK), r.Mixture.At(r.Kelvin-r.TemperatureLimitK)
	low, high := r.GaugeBar-r.GaugeLimitBar, r.GaugeBar+r.GaugeLimitBar
	volume := r.VolumeLimitPct / 100

	litres := drawn(now, r.GaugeBar)
	uncertainty := rectangular * rootSumSquare(
		(drawn(now, high)-drawn(now, low))/2,
		(drawn(cold, r.GaugeBar)-drawn(warm, r.GaugeBar))/2,
		litres*volume)
	return Usable{
		Litres:      litres,
		Low:         math.Max(0, litres-2*uncertainty),
		High:        litres + 2*uncertainty,
		Worst:       (1 - volume) * drawn(warm, low),
		Best:        (1 + volume) * drawn(cold, high),
		Uncertainty: uncertainty,
	}
}

func (r Reading) check() error {
	var wrong problem.Fields
	wrong.Take("", r.Content.check())
	r.checkLimits(&wrong)
	return wrong.Err()
}

func (r Reading) checkLimits(wrong *problem.Fields) {
	bars.check(wrong, "heel_gauge_bar", r.HeelBar)
	bars.check(wrong, "gauge_limit_bar", r.GaugeLimitBar)
	kelvinLimit.check(wrong, "temperature_limit_k", r.TemperatureLimitK)
	percents.check(wrong, "volume_limit_pct", r.VolumeLimitPct)
}

// Margin is what is left over after a need, as expected and at the low end of the k = 2 interval.
type Margin struct {
	Expected, Low float64
}

// Margin compares the usable litres with a need whose flow may be off by a percentage. A need or percentage that is no
// number of its kind counts as more than any cylinder holds.
func (u Usable) Margin(needL, needLimitPct float64) Margin {
	if !(needL >= 0 && needL < math.MaxFloat64/2) || !percents.holds(needLimitPct) {
		return Margin{-math.MaxFloat64, -math.MaxFloat64}
	}
	expected := u.Litres - needL
	uncertainty := rootSumSquare(u.Uncertainty, rectangular*needL*needLimitPct/100)
	return Margin{Expected: expected, Low: expected - 2*uncertainty}
}

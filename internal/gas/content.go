package gas

import (
	"math"

	"spanroom/internal/problem"
)

// Content is a cylinder as it stands: what is in it, how large it is, and what its gauge says at which temperature.
type Content struct {
	Mixture                          *Mixture
	WaterL, GaugeBar, Kelvin, AtmBar float64
	Ref                              Reference
}

// FreeLitres gives the content at the reference condition. It refuses where liquid may be present.
func (c Content) FreeLitres() (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	if err := c.Mixture.mayBeLiquid(c.Kelvin, c.absolute()); err != nil {
		return 0, err
	}
	litres := c.WaterL * c.Mixture.At(c.Kelvin).density(c.absolute()) / c.referenceDensity()
	if math.IsNaN(litres) {
		return 0, noGas(c.absolute(), c.Kelvin)
	}
	return litres, nil
}

func (c Content) absolute() float64 { return c.GaugeBar + c.AtmBar }

func (c Content) referenceDensity() float64 {
	return c.Mixture.At(c.Ref.Kelvin()).density(c.Ref.Bar())
}

func (c Content) check() error {
	var wrong problem.Fields
	if c.Mixture == nil {
		wrong.Add("composition", "there is no component", "give each component with its fraction")
	}
	referenceOf(string(c.Ref), &wrong)
	c.checkNumbers(&wrong)
	return wrong.Err()
}

func (c Content) checkNumbers(wrong *problem.Fields) {
	bars.check(wrong, "gauge_bar", c.GaugeBar)
	kelvins.check(wrong, "temperature_k", c.Kelvin)
	c.checkVessel(wrong)
}

func (c Content) checkVessel(wrong *problem.Fields) {
	volumes.check(wrong, "water_volume_l", c.WaterL)
	atmospheres.check(wrong, "atmospheric_bar", c.AtmBar)
}

func noGas(barAbs, kelvin float64) error {
	return refusal("weigh it", "the model has no gas of this composition around %.4g bar absolute and %.1f °C", barAbs, kelvin-celsiusZero)
}

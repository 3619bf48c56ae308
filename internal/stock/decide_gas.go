package stock

import (
	"fmt"

	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// half limits opened gas of which nobody knows since when: a strongly adsorbing one is for bump tests only, a stable one
// calibrates after a reading (R51).
func (v *view) half(c cylinder, n need) []problem.Finding {
	if c.Stage != Opened || c.OpenedOn != "" || !n.purpose.exact() {
		return nil
	}
	if c.lot.sticky(v.settings.AdsorbingAbovePPM) {
		return one("R51", problem.Stop, c, "nobody knows when it was opened, and this gas clings to the walls: it is for bump tests only", "take one of which the day is known")
	}
	if c.PressureSource != Measured {
		return one("R51", problem.Stop, c, "nobody knows when it was opened, and its pressure was not read", "read its gauge first, or take another one")
	}
	return one("R51", problem.Note, c, "nobody knows when it was opened", "compare the first instrument with another cylinder")
}

// enough compares what is usable with what is needed (R10, R20).
func (v *view) enough(c cylinder, n need, d verdict) []problem.Finding {
	if d.contents.err != nil {
		return one("R20", problem.Stop, c, d.contents.err.Error(), "take another one, or read its gauge first")
	}
	cut := d.contents.cutoff
	if d.contents.BelowHeel {
		text := fmt.Sprintf("%.1f bar is at or below the least usable pressure, %.1f bar (%s)", c.Pressure.Bar(), cut.bar, cut.why)
		return one("R10", problem.Stop, c, text, "take another one; this one is spent for this purpose")
	}
	if len(n.tests) == 0 {
		return one("R20", problem.Note, c, "no tests are named, so nobody knows whether the gas is enough", "compare with what is left before you go")
	}
	if d.margin.Low >= 0 {
		return nil
	}
	sum := fmt.Sprintf("%.1f L usable above %.1f bar (%s), needs %.2f L", d.contents.Litres, cut.bar, cut.why, n.litres())
	switch {
	case d.margin.Expected < 0:
		return one("R20", problem.Stop, c, fmt.Sprintf("%s: %.1f L short", sum, -d.margin.Expected), "take a fuller one, or fewer tests")
	case n.purpose.exact():
		text := fmt.Sprintf("%s (at least %.1f L): it may run dry at %s", sum, d.contents.Low, n.dryAt(n.litres()+d.margin.Low))
		return one("R20", problem.Ask, c, text, "take a fuller one, or say what you carry as a spare")
	default:
		return one("R20", problem.Note, c, fmt.Sprintf("%s (at least %.1f L)", sum, d.contents.Low), "carry a spare")
	}
}

// trusted notes a pressure that nobody has read for long on an opened cylinder, or ever (R14).
func (v *view) trusted(c cylinder) []problem.Finding {
	if c.Stage != Opened || c.PressureSource != Computed && c.PressureSource != Fill {
		return nil
	}
	since, text := c.OpenedOn, "its pressure is a calculation: nobody has read it since it was opened"
	if c.MeasuredAt != 0 {
		since = v.settings.Today(c.MeasuredAt.Time())
		text = fmt.Sprintf("its pressure is a calculation, last read %s ago", days(since.DaysUntil(v.today)))
	}
	if since != "" && int64(since.DaysUntil(v.today)) <= v.settings.PressureAgeDays {
		return nil
	}
	return one("R14", problem.Note, c, text, "read the gauge when you connect it")
}

// chillKey is what decides whether a component may have condensed; cylinders from one cold place share one answer.
type chillKey struct {
	blend       int64
	pressure    unit.Pressure
	temperature unit.Temperature
	coldest     unit.Temperature
}

// cold stops calibration with gas of which a component may have condensed out in the cold (R14b).
func (v *view) cold(c cylinder, n need) []problem.Finding {
	if c.Coldest == 0 || c.Coldest >= unit.TemperatureCelsius(v.settings.WarmC) || c.lot.mixtureErr != nil {
		return nil
	}
	r := v.chill(c)
	if r == nil {
		return nil
	}
	severity := problem.Ask
	if n.purpose.exact() {
		severity = problem.Stop
	}
	return one("R14b", severity, c,
		fmt.Sprintf("it has been at %.0f °C, where %s at %.2f bar is near its saturation pressure of %.2f bar: the first gas may be lean, the last rich", c.Coldest.Celsius(), r.Component, r.PartialBar, r.SaturationBar),
		fmt.Sprintf("keep it above %.0f °C for %d h, roll it, then record a reading", v.settings.WarmC, v.settings.WarmHours))
}

// chill gives the component most likely to have condensed at the coldest temperature, or nil.
func (v *view) chill(c cylinder) *gas.Cold {
	key := chillKey{c.lot.BlendID, c.Pressure, c.Temperature, c.Coldest}
	if known, ok := v.chills[key]; ok {
		return known
	}
	bar := gas.Reduced(c.Pressure.Bar(), kelvinOf(c.Temperature), c.Coldest.Kelvin(), v.settings.AtmosphereBar)
	risks, err := gas.ColdRisk(c.lot.mix, max(bar, 0), c.Coldest.Kelvin(), v.settings.ColdFraction)
	var worst *gas.Cold
	if err == nil && len(risks) > 0 {
		worst = &risks[0]
	}
	v.chills[key] = worst
	return worst
}

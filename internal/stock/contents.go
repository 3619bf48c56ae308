package stock

import (
	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// contents is what can be drawn from a cylinder for a purpose.
type contents struct {
	gas.Usable
	cutoff cutoff
	err    error // where pressure does not say what is in it
}

// cutoff is the pressure below which gas may not be used, and which figure set it (R10).
type cutoff struct {
	bar float64
	why string
}

// memoKey is what contents depend on beside the lot's blend; sealed cylinders of a size share one answer.
type memoKey struct {
	blend            int64
	volume           unit.Volume
	pressure         unit.Pressure
	temperature      unit.Temperature
	limitBar, limitK float64
	cutBar           float64
}

// contents works out what is usable, with its k = 2 interval. The minimum inlet is that of the regulator, or 0.
func (v *view) contents(c cylinder, purpose Purpose, minimumInlet unit.Pressure) contents {
	cut := v.cutoff(c, purpose, minimumInlet)
	if c.PressureSource == Unknown {
		return contents{cutoff: cut, err: errNoPressure}
	}
	limit, limitK := v.gaugeLimit(c.item.FillPressure, c.Gauge, c.PressureSource), v.temperatureLimit(c.Temperature, c.PressureSource)
	key := memoKey{c.lot.BlendID, c.item.WaterVolume, c.Pressure, c.Temperature, limit, limitK, cut.bar}
	if known, ok := v.memo[key]; ok {
		known.cutoff = cut
		return known
	}
	answer := contents{cutoff: cut, err: c.lot.mixtureErr}
	if answer.err == nil {
		answer.Usable, answer.err = gas.Reading{
			Content: v.content(c, c.Pressure, c.Temperature), HeelBar: cut.bar, GaugeLimitBar: limit, TemperatureLimitK: limitK,
			VolumeLimitPct: v.settings.VolumeLimitPct,
		}.Usable()
	}
	v.memo[key] = answer
	return answer
}

// content is the cylinder at a pressure and temperature; where nobody took the temperature, at 21 °C.
func (v *view) content(c cylinder, p unit.Pressure, t unit.Temperature) gas.Content {
	return gas.Content{
		Mixture: c.lot.mixture, WaterL: c.item.WaterVolume.Litres(), GaugeBar: p.Bar(), Kelvin: kelvinOf(t),
		AtmBar: v.settings.AtmosphereBar, Ref: gas.Reference(v.settings.Reference),
	}
}

// referenceKelvin is 21 °C, at which fill pressures are stated.
const referenceKelvin = 294.15

func kelvinOf(t unit.Temperature) float64 {
	if t == 0 {
		return referenceKelvin
	}
	return t.Kelvin()
}

// gaugeLimit is the half-width of error of a pressure: that of its gauge, or of the filling where nobody measured.
func (v *view) gaugeLimit(fill unit.Pressure, gauge, source string) float64 {
	limit := v.settings.GaugeLimitBar(gauge)
	if source != Measured {
		limit = max(limit, fill.Bar()*v.settings.FillLimitPct/100)
	}
	return limit
}

// temperatureLimit is the limit of error of a temperature, a wider one where nobody took it (R13). A fill is stated at 21 °C.
func (v *view) temperatureLimit(t unit.Temperature, source string) float64 {
	if t == 0 && source != Fill {
		return v.settings.UnknownTemperatureLimitK
	}
	return v.settings.TemperatureLimitK
}

// cutKey is what the item's cut-off depends on beside the settings.
type cutKey struct {
	item, blend int64
	exact       bool
}

// cutoff is the greatest of what the certificate, the regulator and the item ask for.
func (v *view) cutoff(c cylinder, purpose Purpose, minimumInlet unit.Pressure) cutoff {
	key := cutKey{c.ItemID, c.lot.BlendID, purpose.exact()}
	cut, known := v.cuts[key]
	if !known {
		cut.bar, cut.why = v.settings.CutoffOf(c.item, c.lot.parts, key.exact)
		v.cuts[key] = cut
	}
	if c.paper != nil && c.paper.MinUsePressure.Bar() > cut.bar {
		cut = cutoff{c.paper.MinUsePressure.Bar(), "the certificate's minimum use pressure"}
	}
	if minimumInlet.Bar() > cut.bar {
		cut = cutoff{minimumInlet.Bar(), "the regulator's minimum inlet"}
	}
	return cut
}

// sticky tells whether this is a strongly adsorbing gas as a whole: each component above a threshold is one. A mixture of
// which only a part adsorbs, such as four-gas, is handled as a stable one.
func (l *lot) sticky(abovePPM float64) bool {
	some := false
	for _, p := range l.parts {
		switch {
		case p.Balance:
		case p.Adsorbs && p.Amount.PPM() > abovePPM:
			some = true
		default:
			return false
		}
	}
	return some
}

var errNoPressure = problem.New(problem.Refused, "nobody has read the pressure of this cylinder", "read its gauge and enter the pressure")

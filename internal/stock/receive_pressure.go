package stock

import (
	"fmt"
	"math"

	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// pressure stops what a cylinder of this size cannot hold even in the heat, which is most often a wrong unit (R5f). The
// pressure of the fill in the heat is that of the ideal gas: in proportion to the absolute temperature.
func (k known) pressure(item models.Item, a arrival) []problem.Finding {
	fill, bar := item.FillPressure.Bar(), a.pressure.Bar()
	say := func(s problem.Severity, text, advice string) []problem.Finding {
		return []problem.Finding{{Rule: "R5f", Severity: s, Subject: "pressure", Text: text, Advice: advice}}
	}
	most := gas.Reduced(fill, referenceKelvin, k.settings.HotC+273.15, k.settings.AtmosphereBar)
	meant := likelyPressure(item, a.typed)
	switch {
	case a.typed == "":
		return nil
	case bar > most:
		text := fmt.Sprintf("%s is above %.1f bar possible for this size: %.1f bar at 21 °C would be that at %.0f °C", a.typed, most, fill, k.settings.HotC)
		if meant == "" {
			return say(problem.Stop, text, "check the figure and its unit")
		}
		return say(problem.Stop, text, meant+"?")
	case a.opened: // any lower pressure is believed
		return nil
	case meant != "" && bar < fill*wrongUnit:
		return say(problem.Ask, fmt.Sprintf("%s is %.1f bar, and the fill is %.1f bar", a.typed, bar, fill), meant+"?")
	case a.source == Measured && !item.Refillable:
		return say(problem.Note, "a sealed non-refillable cylinder is not opened to be measured; the reading is kept", "leave its seal on until the first use: that reading is the check")
	case a.source == Fill && bar < fill*k.settings.LowOnArrivalFraction:
		return say(problem.Note, fmt.Sprintf("%s (%.1f bar) is typed as the fill, and the item's fill is %.1f bar", a.typed, bar, fill), "compare the size on the label; the lower figure counts")
	}
	return nil
}

// wrongUnit is the share of the fill below which a typed pressure is asked about where another unit would fit.
const wrongUnit = 0.2

// likelyPressure reads the figure of a typed pressure in the units that it was not typed in, and gives the reading that is
// nearest to the fill: "1000 psi = 68.9 bar". It gives "" where none is near.
func likelyPressure(item models.Item, typed unit.Typed) string {
	if name, p := nearestPressure(item, typed); name != "" {
		return fmt.Sprintf("%s %s = %.1f bar", figureOf(string(typed)), name, p.Bar())
	}
	return ""
}

func nearestPressure(item models.Item, typed unit.Typed) (name string, p unit.Pressure) {
	near := 0.25 * item.FillPressure.Bar()
	asTyped, err := unit.ParsePressure(string(typed))
	if err != nil {
		return "", 0
	}
	for _, u := range []string{"bar", "psi", "kPa", "MPa"} {
		other, err := unit.ParsePressure(figureOf(string(typed)) + " " + u)
		if err != nil || other == asTyped {
			continue
		}
		if off := math.Abs(other.Bar() - item.FillPressure.Bar()); off <= near {
			near, name, p = off, u, other
		}
	}
	return name, p
}

// low holds a cylinder that was measured and has lost gas: below a share of the fill, less what the gauge may be off (R5f).
// A temperature that nobody took counts as 21 °C.
func (k known) low(item models.Item, a arrival) []plannedHold {
	if a.source != Measured || a.opened {
		return nil
	}
	kelvin := a.temperature.Kelvin()
	if a.temperature == 0 {
		kelvin = referenceKelvin
	}
	bar := gas.Reduced(a.pressure.Bar(), kelvin, referenceKelvin, k.settings.AtmosphereBar)
	fill, gauge := item.FillPressure.Bar(), k.settings.GaugeLimitBar(a.gauge)
	least := fill*k.settings.LowOnArrivalFraction - gauge
	if bar >= least {
		return nil
	}
	return []plannedHold{{"R5f", LowOnArrival, fmt.Sprintf("%.1f bar at 21 °C, and at least %.1f bar is expected: %.0f %% of the fill of %.1f bar less %.1f bar of the gauge",
		bar, least, 100*k.settings.LowOnArrivalFraction, fill, gauge)}}
}

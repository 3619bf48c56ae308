package gas

import (
	"math"
	"slices"
	"sort"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// SaturationBar gives the pressure at which a component condenses, or false at and above its critical temperature and
// for a component without a row. Between the rows ln p is linear in 1/T. Beyond them the nearest two rows go on in the
// same line: about 1 % high 20 K below the table, and a few per cent low, on the side of warning, towards the critical point.
func SaturationBar(component string, kelvin float64) (float64, bool) {
	line, ok := vapourLines()[component]
	if !ok || !(kelvin > 0) || kelvin >= line.critical {
		return 0, false
	}
	return line.bar(kelvin), true
}

func (l vapourLine) bar(kelvin float64) float64 {
	u := 1 / kelvin
	warmer, _ := slices.BinarySearchFunc(l.points, u, func(p vapourPoint, u float64) int {
		if p.inverseKelvin > u {
			return -1
		}
		return 1
	})
	warmer = min(max(warmer, 1), len(l.points)-1)
	a, b := l.points[warmer-1], l.points[warmer]
	share := (u - a.inverseKelvin) / (b.inverseKelvin - a.inverseKelvin)
	return math.Exp(a.logBar + share*(b.logBar-a.logBar))
}

// saturation also knows components without a row, from their critical constants. It is endless from the critical
// temperature on, where nothing condenses, and false for a component that is not known at all.
func saturation(component string, kelvin float64) (float64, bool) {
	if line, ok := vapourLines()[component]; ok {
		if bar, below := SaturationBar(component, kelvin); below {
			return bar, true
		}
		return math.Inf(1), kelvin >= line.critical
	}
	c, ok := virial().Critical[component]
	switch {
	case !ok:
		return 0, false
	case kelvin >= c.Kelvin:
		return math.Inf(1), true
	}
	return leeKesler(c, kelvin), true
}

// leeKesler estimates a saturation pressure by Lee and Kesler (1975), within 15 % for what lacks a row; water comes out 30 % low,
// on the side of warning.
func leeKesler(c critical, kelvin float64) float64 {
	t := kelvin / c.Kelvin
	t6 := cube(t) * cube(t)
	simple := 5.92714 - 6.09648/t - 1.28862*math.Log(t) + 0.169347*t6
	return c.Bar * math.Exp(simple+c.Omega*(15.2518-15.6875/t-13.4721*math.Log(t)+0.43577*t6))
}

// Condensation tells whether a component is past its dew limit: its partial pressure is above saturation at this temperature.
func Condensation(component string, fraction, gaugeBar, kelvin float64) (bool, error) {
	var wrong problem.Fields
	if component == "" || len(component) > longestName {
		wrong.Add("component", "this is not a component", "write the formula, such as nC5H12")
	}
	fractions.check(&wrong, "fraction", fraction)
	bars.check(&wrong, "gauge_bar", gaugeBar)
	kelvins.check(&wrong, "temperature_k", kelvin)
	if err := wrong.Err(); err != nil {
		return false, err
	}
	bar, known := saturation(component, kelvin)
	if !known {
		return false, refusal("ask the supplier for its dew limit", "no saturation pressure is known for %s", component)
	}
	return fraction*(gaugeBar+unit.StandardAtmosphere) > bar, nil
}

// Cold is one component that may have condensed out, with the two pressures that say so.
type Cold struct {
	Component     string  `json:"component"`
	Fraction      float64 `json:"fraction"`
	PartialBar    float64 `json:"partial_bar"`
	SaturationBar float64 `json:"saturation_bar"`
}

// ColdRisk lists the components whose partial pressure is above limit × saturation at the coldest temperature a
// cylinder has seen, worst first. Components of which no saturation pressure is known are left out.
func ColdRisk(mix Mix, gaugeBar, kelvin, limit float64) ([]Cold, error) {
	normal, err := mix.Normal()
	if err != nil {
		return nil, err
	}
	var wrong problem.Fields
	bars.check(&wrong, "gauge_bar", gaugeBar)
	kelvins.check(&wrong, "temperature_k", kelvin)
	fractions.check(&wrong, "limit", limit)
	if err := wrong.Err(); err != nil {
		return nil, err
	}
	var risks []Cold
	for name, fraction := range normal {
		bar, known := saturation(name, kelvin)
		partial := fraction * (gaugeBar + unit.StandardAtmosphere)
		if known && partial > limit*bar {
			risks = append(risks, Cold{name, fraction, partial, bar})
		}
	}
	sort.Slice(risks, func(i, j int) bool {
		a, b := risks[i].PartialBar/risks[i].SaturationBar, risks[j].PartialBar/risks[j].SaturationBar
		return a > b || a == b && risks[i].Component < risks[j].Component
	})
	return risks, nil
}

// Where the principal component may be liquid: near its saturation pressure, or near its critical point.
const (
	nearSaturation     = 0.98
	nearCriticalKelvin = 1.05
	nearCriticalBar    = 0.8
)

// mayBeLiquid refuses where pressure stops saying how much is left.
func (m *Mixture) mayBeLiquid(kelvin, barAbs float64) error {
	c := m.principal
	if c == nil {
		return nil
	}
	bar, _ := saturation(c.name, kelvin)
	if c.fraction*barAbs >= nearSaturation*bar || kelvin < nearCriticalKelvin*c.critical.Kelvin && barAbs >= nearCriticalBar*c.critical.Bar {
		return refusal("weigh it", "%s may be liquid at %.4g bar absolute and %.1f °C: pressure does not say how much is in it",
			c.name, barAbs, kelvin-celsiusZero)
	}
	return nil
}

package stock

import (
	"context"
	"fmt"
	"math"

	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

const leakRule = "R34"

// judgeReading is what the rules say of a new reading. stood tells whether nobody had the cylinder since the last one.
func (v *view) judgeReading(c cylinder, now taken, stood bool) []problem.Finding {
	var found []problem.Finding
	found = append(found, v.possible(c, now)...)
	if stood {
		found = append(found, v.standingLoss(c, now)...)
	}
	found = append(found, v.rise(c, now)...)
	found = append(found, v.stillCold(c, now)...)
	found = append(found, v.nearlyEmpty(c, now)...)
	return problem.Sort(found)
}

// possible is the check of goods in: too much for this size is stopped, and a sealed cylinder is told about what its seal
// and its fill say. Of an opened one any lower pressure is believed (R5f).
func (v *view) possible(c cylinder, now taken) []problem.Finding {
	sealed := c.Stage == Sealed || c.Stage == Received
	arrived := arrival{pressure: now.pressure, typed: now.typed, temperature: now.temperature, gauge: now.gauge, source: Measured}
	k := known{moment: v.moment}
	found := only(k.pressure(c.item, arrived), func(f problem.Finding) bool { return sealed || f.Severity == problem.Stop })
	for i, f := range found {
		if meant := MeantPressure(now.typed, c.item.FillPressure.Bar()); f.Severity == problem.Stop && meant != "" {
			found[i].Advice = "was it " + meant + "?"
		}
	}
	for _, low := range v.lowAtFirst(c, now) {
		found = append(found, problem.Finding{
			Rule: low.rule, Severity: problem.Note, Subject: string(c.Tag), Text: low.text,
			Advice: `it is put on hold with "` + low.reason + `"; claim from the supplier, and read the others of the lot when they are connected`,
		})
	}
	return found
}

// lowAtFirst is what the first connection of a cylinder shows: less than its fill and the gauge allow (R5f). Once somebody has
// read it, what was found low has been told, and may have been accepted.
func (v *view) lowAtFirst(c cylinder, now taken) []plannedHold {
	if c.Stage != Sealed && c.Stage != Received || c.PressureSource != Fill {
		return nil
	}
	arrived := arrival{pressure: now.pressure, typed: now.typed, temperature: now.temperature, gauge: now.gauge, source: Measured}
	return known{moment: v.moment}.low(c.item, arrived)
}

// MeantPressure gives the reading that somebody likely meant who typed a pressure that the cylinder cannot have: the same
// figure in the unit in which it comes nearest to the fill, else in one in which it is less; "" where there is none.
func MeantPressure(typed unit.Typed, fillBar float64) string {
	figure := figureOf(string(typed))
	if name, _ := nearestPressure(models.Item{FillPressure: unit.PressureBar(fillBar)}, typed); name != "" {
		return figure + " " + name
	}
	for _, name := range []string{"psi", "kPa"} {
		if p, err := unit.ParsePressure(figure + " " + name); err == nil && p.Bar() < fillBar {
			return figure + " " + name
		}
	}
	return ""
}

// stoodStill tells whether the last reading can be compared with a new one: somebody took it, and nobody used gas since.
func stoodStill(ctx context.Context, tx *store.Store, c cylinder) (bool, error) {
	if c.PressureSource != Measured || c.HolderID != nil {
		return false, nil
	}
	out, err := tx.OutSince(ctx, c.ID, c.MeasuredAt)
	return !out, err
}

// standingLoss asks about pressure that was lost while nobody used the cylinder: more than gauge and temperature explain,
// and more than the site lets pass (R34).
func (v *view) standingLoss(c cylinder, now taken) []problem.Finding {
	loss, u := v.lost(c, now)
	if loss <= u || loss <= v.settings.StandingLossBar {
		return nil
	}
	text := fmt.Sprintf("it lost %.1f bar (at 21 °C) since %s without being used, and gauge and temperature explain %.1f bar at most: a leak is suspected", loss, v.clock(c.MeasuredAt), u)
	return one(leakRule, problem.Ask, c, text, `leave first if you smell or hear gas; put it on hold with "`+LeakSuspected+`", or say where the gas went`)
}

// lost is the pressure at 21 °C that went between the last reading and a new one, with the k = 2 uncertainty of the two.
func (v *view) lost(c cylinder, now taken) (loss, u float64) {
	gauges := math.Hypot(v.settings.GaugeLimitBar(c.Gauge), v.settings.GaugeLimitBar(now.gauge))
	if c.Gauge == now.gauge {
		gauges *= v.settings.SameGaugeShare
	}
	warmth := math.Hypot(v.warmthLimit(c.Pressure, c.Temperature), v.warmthLimit(now.pressure, now.temperature))
	loss = v.referenceBar(c.Pressure, c.Temperature) - v.referenceBar(now.pressure, now.temperature)
	return loss, 2 * rectangular * math.Hypot(gauges, warmth)
}

// rise asks about a pressure that rose since somebody read it, which gas does not do by itself: one of the two readings is
// wrong. Of a cylinder that is out, only who runs the desk may put the earlier one right, because the return rests on it (R32).
func (v *view) rise(c cylinder, now taken) []problem.Finding {
	if c.PressureSource != Measured {
		return nil
	}
	loss, u := v.lost(c, now)
	if -loss <= u {
		return nil
	}
	text := fmt.Sprintf("it reads %.1f bar more (at 21 °C) than on %s, and gauge and temperature explain %.1f bar at most", -loss, v.clock(c.MeasuredAt), u)
	if now.corrects || c.HolderID == nil {
		return one("R32", problem.Ask, c, text, "check tag, unit and temperature, or say why the earlier reading was wrong")
	}
	return one("R32", problem.Stop, c, text, "check tag, unit and temperature; where the earlier reading was wrong, let a clerk record this one")
}

// referenceBar is a pressure as it would be at 21 °C (R13).
func (v *view) referenceBar(p unit.Pressure, t unit.Temperature) float64 {
	return gas.Reduced(p.Bar(), kelvinOf(t), referenceKelvin, v.settings.AtmosphereBar)
}

// rectangular turns a limit of error into a standard uncertainty: 1/√3.
const rectangular = 0.5773502691896258

// warmthLimit is how far a pressure that was measured may be off, in bar, for the limit of error of its temperature.
func (v *view) warmthLimit(p unit.Pressure, t unit.Temperature) float64 {
	return (p.Bar() + v.settings.AtmosphereBar) * v.temperatureLimit(t, Measured) / kelvinOf(t)
}

// recovered tells whether a cold cylinder counts as warm again: it is warm now, it was rolled, and the reading before is
// old enough for it to have stood warm (R14b).
func (v *view) recovered(c cylinder, now taken) bool {
	const hour = 60 * 60 * 1000
	return now.rolled && now.temperature >= unit.TemperatureCelsius(v.settings.WarmC) && int64(v.at-c.lastSeen()) >= v.settings.WarmHours*hour
}

// lastSeen is when somebody last looked at the pressure, or received the cylinder.
func (c cylinder) lastSeen() unit.Instant { return max(c.MeasuredAt, c.ReceivedAt) }

// stillCold notes that rolling alone does not make a cold cylinder warm (R14b).
func (v *view) stillCold(c cylinder, now taken) []problem.Finding {
	if !now.rolled || c.Coldest == 0 || c.Coldest >= unit.TemperatureCelsius(v.settings.WarmC) || v.recovered(c, now) {
		return nil
	}
	text := fmt.Sprintf("it still counts as cold: it was last seen %s, and it has to be at %.0f °C or above for %d h before it is rolled", v.clock(c.lastSeen()), v.settings.WarmC, v.settings.WarmHours)
	return one("R14b", problem.Note, c, text, "give its temperature, and read it again when that time is over")
}

// nearlyEmpty notes that there is nothing usable in it any more (R10).
func (v *view) nearlyEmpty(c cylinder, now taken) []problem.Finding {
	cut := v.cutoff(c, Bump, 0)
	if now.pressure.Bar() > cut.bar || c.Stage == Spent {
		return nil
	}
	return one("R10", problem.Note, c, fmt.Sprintf("%.1f bar is at or below the least usable pressure, %.1f bar (%s)", now.pressure.Bar(), cut.bar, cut.why),
		"spent is not empty: set it aside as spent when it is brought back")
}

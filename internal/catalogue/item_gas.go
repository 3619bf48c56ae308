package catalogue

import (
	"context"
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// gas reads what only a cylinder of gas has.
func (o *Item) gas(ctx context.Context, c *checker, row *models.Item) {
	row.BlendID = c.known(ctx, "blend", "blend", &o.Blend, true)
	row.WaterVolume = needed(c, "water_volume", &o.WaterVolume, unit.ParseVolume)
	row.FillPressure = needed(c, "fill_pressure", &o.FillPressure, unit.ParsePressure)
	row.Outlet = c.outlet("outlet", &o.Outlet)
	row.Refillable = o.Refillable
	row.Cutoff = optional(c, "cutoff", &o.Cutoff, unit.ParsePressure)
	c.limit("store_cap_months", o.StoreCapMonths, 1, 240, "months")
	row.StoreCapMonths = o.StoreCapMonths
	if row.Cutoff != nil {
		o.CutoffBar = row.Cutoff.Bar()
		if row.FillPressure > 0 && *row.Cutoff >= row.FillPressure {
			c.wrong.Add("cutoff", "the minimum pressure is not below the fill pressure, so nothing could be used", "check both figures and their units")
		}
	}
	if f := sizeFinding(row.WaterVolume, row.FillPressure, o.Refillable); f != nil {
		c.rule("water_volume", *f)
	}
	o.WaterVolumeL, o.FillPressureBar, o.OutletListed = row.WaterVolume.Litres(), row.FillPressure.Bar(), row.Outlet
}

// notGas refuses what only a cylinder of gas can have.
func (o *Item) notGas(c *checker) {
	for _, f := range []struct {
		name  string
		given bool
	}{
		{"blend", o.Blend != ""}, {"water_volume", o.WaterVolume != ""}, {"fill_pressure", o.FillPressure != ""}, {"outlet", o.Outlet != ""},
		{"refillable", o.Refillable}, {"cutoff", o.Cutoff != ""}, {"store_cap_months", o.StoreCapMonths != nil},
	} {
		if f.given {
			c.wrong.Add(f.name, wordsOf(f.name)+" is for items of kind gas only", `leave it out, or choose the kind "gas"`)
		}
	}
}

// The most that a non-refillable cylinder holds by 49 CFR 178.65: 277 in³ above 500 psi, and 1526 in³ up to there.
const (
	smallShellLitres   = 4.54
	largeShellLitres   = 25.0
	smallShellAboveBar = 34.5
)

// sizeFinding catches litres of gas that were typed as water volume (R3b).
func sizeFinding(water unit.Volume, fill unit.Pressure, refillable bool) *problem.Finding {
	most := largeShellLitres
	if fill.Bar() > smallShellAboveBar {
		most = smallShellLitres
	}
	if refillable || fill <= 0 || water.Litres() <= most {
		return nil
	}
	meant := water.Litres() * unit.StandardAtmosphere / (fill.Bar() + unit.StandardAtmosphere)
	return &problem.Finding{
		Rule: "R3b", Severity: problem.Stop, Subject: "water_volume",
		Text: fmt.Sprintf("gas litres? %.4g L at %.4g bar is %.2f L of water volume; no non-refillable cylinder holds more than %.4g L at that pressure",
			water.Litres(), fill.Bar(), meant, most),
		Advice: fmt.Sprintf("type the water volume, here about %.2f L, or tick refillable", meant),
	}
}

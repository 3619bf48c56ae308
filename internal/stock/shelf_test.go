package stock

import (
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// shelfOf is a view without a store, for the rules alone: today is 3 March 2027, gauges are digital, nothing is added for
// repeats.
func shelfOf() *view {
	s := catalogue.DefaultSettings()
	s.DefaultGauge, s.RetryPct = "digital", 0
	return &view{
		moment: moment{at: 1_804_060_800_000, today: "2027-03-03", settings: s}, memo: map[memoKey]contents{}, useBys: map[useByKey]shelf.UseBy{},
		cuts: map[cutKey]cutoff{}, chills: map[chillKey]*gas.Cold{}, matches: map[matchKey][]problem.Finding{}, policy: catalogue.FitPolicy(s), places: map[int64]string{1: "CAGE", 2: "VAN-1"},
	}
}

var tens = int64(75)

// q4Lot and clLot are lots with their documents; what they have in common is worked out once, as look does.
func q4Lot(expires unit.Date) *lot {
	parts := append(slices.Clone(fourGas), nitrogen)
	parts[4].Amount = 1_000_000_000 - parts[0].Amount - parts[1].Amount - parts[2].Amount - parts[3].Amount
	return lotWith(1, expires, parts[0].Code, parts...)
}

func clLot(expires unit.Date) *lot {
	cl := adsorbs(part(5, "Cl2", "10 ppm"))
	cl.OpenedDays = &tens
	n := nitrogen
	n.Amount = 1_000_000_000 - cl.Amount
	return lotWith(2, expires, cl.Code, cl, n)
}

// bottle is a sealed cylinder of an item of 1.0 L and 69 bar with outlet CGA C-10, at CAGE.
func bottle(tag string, l *lot) cylinder {
	cage := int64(1)
	item := models.Item{
		ID: l.BlendID, Code: fmt.Sprint("item ", l.BlendID), BlendID: &l.BlendID, WaterVolume: 1000, FillPressure: unit.PressureBar(69), Outlet: "CGA C-10",
		Cutoff: new(unit.PressureBar(2)),
	}
	return cylinder{item: item, lot: l, paper: l.certificate, place: "CAGE", Cylinder: models.Cylinder{
		ID: int64(len(tag)) * int64(tag[0]), Tag: unit.Tag(tag), ItemID: item.ID, LotID: l.ID, Stage: Sealed, PlaceID: &cage,
		Pressure: item.FillPressure, Temperature: 294_150, PressureSource: Fill, Gauge: "digital", MeasuredAt: 1_804_000_000_000,
	}}
}

// opened makes it an opened one with so many bar in it.
func (c cylinder) opened(bar float64, on unit.Date) cylinder {
	c.Stage, c.OpenedOn, c.Pressure, c.PressureSource = Opened, on, unit.PressureBar(bar), Measured
	return c
}

func (c cylinder) hold(reason string) cylinder {
	c.holds = append(slices.Clone(c.holds), models.Hold{OnKind: "lot", OnName: "7K-2206", Reason: reason})
	return c
}

var (
	bumpQ4 = models.Procedure{ID: 1, Code: "bump-q4", Purpose: "bump", Flow: 300, Duration: 30, Purge: 300}
	calQ4  = models.Procedure{ID: 2, Code: "cal-q4", Purpose: "calibration", Flow: 300, Duration: 120, Purge: 300}
)

func bumps(n int64) need { return needOf(bumpQ4, n) }
func cals(n int64) need  { return needOf(calQ4, n) }

func needOf(p models.Procedure, n int64) need {
	bare := need{purpose: Purpose(p.Purpose), tests: []testCount{{Procedure: p, Count: n}}, from: "2027-03-03", until: "2027-03-03"}
	return bare.fitted(&r01)
}

// fitted is the need with a stainless regulator, or without one.
func (n need) fitted(r *models.Regulator, holds ...models.Hold) need {
	if r == nil {
		n.along = kitSet{}
		return n
	}
	n.along = kitSet{regulator: r, holds: holds, parts: fit.Set{Regulator: &fit.Regulator{
		Code: r.Code, Inlet: fit.Outlet(r.Inlet), MaxBar: r.MaxPressure.Bar(), Demand: r.Mode == catalogue.DemandFlow, Flow: r.Flow, Body: "stainless",
	}}}
	return n
}

func (n need) through(day unit.Date) need {
	n.until = day
	return n
}

var r01 = models.Regulator{ID: 1, Code: "R-01", Inlet: "CGA C-10", MaxPressure: unit.PressureBar(103), Mode: "fixed", Flow: 300}

// say puts findings into one text, for looking for a part of it.
func say(findings []problem.Finding) string {
	var lines []string
	for _, f := range findings {
		lines = append(lines, fmt.Sprintf("%s %s %s → %s", f.Rule, f.Severity, f.Text, f.Advice))
	}
	return strings.Join(lines, "\n")
}

// judged ranks some cylinders for a need.
func (v *view) judged(n need, list ...cylinder) *field {
	products := map[int64]models.Item{}
	w := wanted{need: n, name: "it"}
	for _, c := range list {
		if _, known := products[c.ItemID]; !known {
			products[c.ItemID] = c.item
			w.products = append(w.products, c.item)
		}
	}
	return judge(v, w, list)
}

func lotWith(id int64, expires unit.Date, lead string, parts ...store.BlendComponent) *lot {
	l := &lot{Lot: models.Lot{ID: id, BlendID: id, Lot: lead, FilledOn: "2026-08-10"}, parts: parts, mix: catalogue.MixOf(parts)}
	if expires != "" {
		l.certificate = &certificate{Certificate: models.Certificate{ID: id, ExpiresOn: expires}}
	}
	l.mixture, l.mixtureErr = gas.NewMixture(l.mix)
	return l
}

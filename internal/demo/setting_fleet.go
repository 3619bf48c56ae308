package demo

import (
	"fmt"

	"spanroom/internal/catalogue"
)

// Two that are in no round: one to take in place of another, and one that has had its day.
const (
	spare   = "D-045"
	retired = "X-01"
)

func serials(form string, first, last int) []string {
	var all []string
	for n := first; n <= last; n++ {
		all = append(all, fmt.Sprintf(form, n))
	}
	return all
}

// The longest that an instrument goes without a test, in days. The rounds come more often.
const (
	bumpEvery   = 4
	weeklyBump  = 7
	calibrateBy = 31
)

// instruments lists the fleet as the year begins. When its set values were last held against the screens decides when the check
// asks for that again; for the ammonia monitors it does now, as their winter shutdown came in between.
func (h *house) instruments() []catalogue.Order {
	var all []catalogue.Order
	add := func(serials []string, one catalogue.Instrument, confirmed int) {
		for _, serial := range serials {
			one.Code, one.SetValuesConfirmedOn = serial, h.clock.day(confirmed)
			all = append(all, new(one))
		}
	}
	add(diffusion, fourGasOf(diff4), -540)
	add(pumped[:11], fourGasOf(pump4), -460)
	add(pumped[11:], fourGasOf(pump45), -460)
	add(chlorineFleet, catalogue.Instrument{Model: chlor1, Place: "ASHBECK", Schedule: due(bumpCL, weeklyBump, calCL)}, -420)
	add(ammoniaFleet, catalogue.Instrument{Model: ammon1, Place: "COLDHOLM", Schedule: due(bumpNH, weeklyBump, calNH)}, -400)
	add([]string{spare}, catalogue.Instrument{Model: diff4, Place: bench, Note: "Spare, in no round."}, -380)
	add([]string{retired}, catalogue.Instrument{Model: pentane1, Place: bench, OutOfService: true, Note: "Retired; shown to newcomers."}, -380)
	return all
}

// newcomers are the two newer monitors, which came late in the year.
func newcomers() []catalogue.Order {
	var all []catalogue.Order
	for _, serial := range newer {
		one := fourGasOf(diff4New)
		one.Code, one.Note = serial, "Set to 50 %LEL by its maker, on a basis of 4.4 %vol."
		all = append(all, &one)
	}
	return all
}

func fourGasOf(model string) catalogue.Instrument {
	return catalogue.Instrument{Model: model, Place: "STOKE", Schedule: due(bumpQ4, bumpEvery, calQ4)}
}

func due(bump string, everyDays int64, cal string) []catalogue.Schedule {
	return []catalogue.Schedule{{Procedure: bump, EveryDays: everyDays}, {Procedure: cal, EveryDays: calibrateBy}}
}

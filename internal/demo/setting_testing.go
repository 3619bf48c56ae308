package demo

import (
	"fmt"
	"slices"

	"spanroom/internal/catalogue"
)

// The procedures.
const (
	bumpQ4 = "bump-q4"
	calQ4  = "cal-q4"
	bumpCL = "bump-cl"
	calCL  = "cal-cl"
	bumpNH = "bump-nh"
	calNH  = "cal-nh"
	zeroD  = "zero-d"
)

// monthly is once a month, as times a week.
const monthly = 12.0 / 52.18

func procedures() []catalogue.Order {
	return []catalogue.Order{
		&catalogue.Procedure{Code: bumpQ4, Name: "bump test, four gas", Purpose: catalogue.Bump, Blend: fourGas, Flow: "0.3 L/min", Duration: "30 s", Purge: "0.3 L"},
		&catalogue.Procedure{Code: calQ4, Name: "calibration, four gas", Purpose: catalogue.Calibration, Blend: fourGas, Flow: "0.3 L/min", Duration: "2 min", Purge: "0.3 L"},
		&catalogue.Procedure{Code: bumpCL, Name: "bump test, chlorine", Purpose: catalogue.Bump, Blend: chlorine, Flow: "1.0 L/min", Duration: "1 min", Conditioning: "5 min"},
		&catalogue.Procedure{Code: calCL, Name: "calibration, chlorine", Purpose: catalogue.Calibration, Blend: chlorine, Flow: "1.0 L/min", Duration: "3 min", Conditioning: "5 min"},
		&catalogue.Procedure{Code: bumpNH, Name: "bump test, ammonia", Purpose: catalogue.Bump, Blend: ammonia, Flow: "1.0 L/min", Duration: "1 min", Conditioning: "5 min"},
		&catalogue.Procedure{Code: calNH, Name: "calibration, ammonia", Purpose: catalogue.Calibration, Blend: ammonia, Flow: "1.0 L/min", Duration: "3 min", Conditioning: "5 min"},
		&catalogue.Procedure{Code: zeroD, Name: "zero setting", Purpose: catalogue.Zero, Blend: zeroAir, Flow: "0.5 L/min", Duration: "1 min"},
	}
}

func detectors() []catalogue.Order {
	return []catalogue.Order{
		&catalogue.Model{Code: "DIFF-4", Name: "four-gas, diffusion", Channels: fourChannels, Manual: "manual, revision 6", Note: "Combustible channel: 100 %LEL is 5.0 %vol methane."},
		&catalogue.Model{Code: "DIFF-4-44", Name: "four-gas, diffusion, newer", Channels: fourChannels, Manual: "manual, revision 9", Note: "Combustible channel: 100 %LEL is 4.4 %vol methane."},
		&catalogue.Model{Code: "PUMP-4", Name: "four-gas, pumped 0.3 L/min", Channels: fourChannels, Manual: "manual, revision 4"},
		&catalogue.Model{Code: "PUMP-4-45", Name: "four-gas, pumped 0.45 L/min", Channels: fourChannels, Manual: "manual, revision 4"},
		&catalogue.Model{Code: "CHLOR-1", Name: "chlorine", Channels: []catalogue.Channel{{Component: "Cl2", SetValue: "10 ppm", LowAlarm: "0.5 ppm", HighAlarm: "1 ppm"}}, Manual: "manual, revision 2"},
		&catalogue.Model{Code: "AMMON-1", Name: "ammonia", Channels: []catalogue.Channel{{Component: "NH3", SetValue: "50 ppm", LowAlarm: "25 ppm", HighAlarm: "35 ppm"}}, Manual: "manual, revision 2"},
	}
}

var fourChannels = []catalogue.Channel{
	{Component: "CH4", SetValue: "2.5 %vol", LowAlarm: "0.5 %vol", HighAlarm: "1.0 %vol"},
	{Component: "O2", SetValue: "18 %vol", LowAlarm: "19.5 %vol", HighAlarm: "23.5 %vol"},
	{Component: "CO", SetValue: "100 ppm", LowAlarm: "30 ppm", HighAlarm: "60 ppm"},
	{Component: "H2S", SetValue: "25 ppm", LowAlarm: "10 ppm", HighAlarm: "15 ppm"},
}

// The serials of the fleet.
var (
	diffusion     = serials("D-%03d", 44)
	pumped        = serials("P-%03d", 12)
	chlorineFleet = serials("C-%02d", 6)
	ammoniaFleet  = serials("N-%02d", 4)
	wornThere     = slices.Concat(diffusion, pumped)
)

func serials(form string, n int) []string {
	all := make([]string, n)
	for i := range all {
		all[i] = fmt.Sprintf(form, i+1)
	}
	return all
}

// instruments lists the fleet as the catalogue takes it.
func instruments() []catalogue.Order {
	var all []catalogue.Order
	add := func(serials []string, model, place, bump, cal string, everyDays int64) {
		for _, serial := range serials {
			all = append(all, &catalogue.Instrument{Code: serial, Model: model, Place: place, Schedule: []catalogue.Schedule{
				{Procedure: bump, EveryDays: everyDays}, {Procedure: cal, EveryDays: 31},
			}})
		}
	}
	add(diffusion[:42], "DIFF-4", "STOKE", bumpQ4, calQ4, 3)
	add(diffusion[42:], "DIFF-4-44", "STOKE", bumpQ4, calQ4, 3)
	add(pumped[:11], "PUMP-4", "STOKE", bumpQ4, calQ4, 3)
	add(pumped[11:], "PUMP-4-45", "STOKE", bumpQ4, calQ4, 3)
	add(chlorineFleet, "CHLOR-1", "ASHBECK", bumpCL, calCL, 7)
	add(ammoniaFleet, "AMMON-1", "COLDHOLM", bumpNH, calNH, 7)
	return all
}

// rounds are The rounds, whose schedule asks for 35.9 L of four-gas and 15.1 L of chlorine a week.
func rounds() []catalogue.Order {
	return []catalogue.Order{
		round("stoke", "Stoke Reach", van1, wornThere, bumpQ4, calQ4, 3, 10),
		round("ashbeck", "Ashbeck dosing room", van2, chlorineFleet, bumpCL, calCL, 1, 1),
		round("coldholm", "Coldholm chiller", van2, ammoniaFleet, bumpNH, calNH, 1, 1),
	}
}

func round(code, name, place string, instruments []string, bump, cal string, bumpsPerWeek, sessionsPerWeek float64) *catalogue.Round {
	return &catalogue.Round{Code: code, Name: name, Place: place, Instruments: instruments, SessionsPerWeek: sessionsPerWeek, Tests: []catalogue.RoundTest{
		{Procedure: bump, TimesPerWeek: bumpsPerWeek}, {Procedure: cal, TimesPerWeek: monthly},
	}}
}

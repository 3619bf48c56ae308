package demo

import (
	"context"

	"spanroom/internal/stock"
)

// The days of the week as they fall before a Wednesday, which the last day is in the setting; otherwise all shifts with it.
const (
	wednesday = iota
	thursday
	friday
	saturday
	sunday
	monday
	tuesday
)

// weekdayOf gives the day of the week of a day that is counted from today.
func weekdayOf(day int) int { return ((day % 7) + 7) % 7 }

const (
	yearBegins     = -361
	monthOfDays    = 30
	shutdownBegins = -70 // of the chiller at Coldholm, for the winter
)

// rounds are the sessions of the year: each round on its weekdays, calibrations once a month, up to yesterday. Today's is a
// scene of its own.
func (h *house) rounds() []scene {
	var scenes []scene
	for day := yearBegins; day < 0; day++ {
		for _, s := range sessionsOn(day) {
			s.day = day
			scenes = append(scenes, scene{day, s.hour, "session with " + s.item, func(ctx context.Context) error {
				_, err := h.test(ctx, s)
				return err
			}})
		}
	}
	return scenes
}

// sessionsOn lists the sessions of a day.
func sessionsOn(day int) []session {
	switch weekdayOf(day) {
	case monday:
		return []session{worn("07:12"), pumpedBumps("13:05")}
	case tuesday:
		return coldholm(day)
	case wednesday:
		return []session{worn("07:12"), pumpedBumps("13:05")}
	case thursday:
		return append(calibrations(day), ashbeck(day)...)
	case friday:
		return []session{worn("07:12"), pumpedBumps("13:05")}
	}
	return nil
}

func worn(hour string) session {
	return session{hour: hour, who: technicianA, item: fourGas, place: bench, regulator: forDiffusion, tubing: "T-01", least: 2.1, lines: []line{{bumpQ4, diffusion}}}
}

func pumpedBumps(hour string) session {
	return session{hour: hour, who: technicianB, item: fourGas, place: bench, regulator: forPumped, tubing: "T-01", least: 2.1, lines: []line{{bumpQ4, pumped}}}
}

// onceAMonth tells whether the monthly sessions fall on a Thursday: every 28, 28 and 35 days, which makes twelve a year.
func onceAMonth(day int) bool {
	switch ((day % 91) + 91) % 91 {
	case 1, 29, 57:
		return true
	}
	return false
}

func calibrations(day int) []session {
	if !onceAMonth(day) {
		return nil
	}
	return []session{
		{hour: "08:10", who: technicianA, item: fourGas, place: bench, regulator: forDiffusion, tubing: "T-01", least: 2.1, lines: []line{{calQ4, diffusion}}},
		{hour: "12:40", who: technicianB, item: fourGas, place: bench, regulator: forPumped, tubing: "T-01", least: 2.1, lines: []line{{calQ4, pumped}}},
		{hour: "14:30", who: technicianB, item: zeroAir, place: shelfA, regulator: forZeroAir, least: 6, lines: []line{{zeroD, pumped}}},
	}
}

func ashbeck(day int) []session {
	s := session{hour: "09:30", who: technicianB, item: chlorine, place: cabinet, regulator: forChlorine, tubing: "T-02", least: 11, lines: []line{{bumpCL, chlorineFleet}}}
	if onceAMonth(day) {
		s.lines = append(s.lines, line{calCL, chlorineFleet})
	}
	return []session{s}
}

func coldholm(day int) []session {
	if day >= shutdownBegins {
		return nil
	}
	s := session{hour: "10:15", who: technicianB, item: ammonia, place: cabinet, regulator: forAmmonia, tubing: "T-03", least: 9, lines: []line{{bumpNH, ammoniaFleet}}}
	if onceAMonth(day + 2) {
		s.lines = append(s.lines, line{calNH, ammoniaFleet})
	}
	return []session{s}
}

var _ = stock.Pass

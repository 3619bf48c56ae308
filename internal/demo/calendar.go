package demo

import (
	"context"
	"slices"
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
	yearBegins     = -351
	shutdownBegins = -70 // of the chiller at Coldholm, for the winter
	newerCame      = -40
)

// rounds are the sessions of the year: each round on its weekdays, calibrations once a month, up to yesterday. Today's is a
// scene of its own.
func (h *house) rounds() []scene {
	var scenes []scene
	for day := yearBegins; day < 0; day++ {
		for i, s := range sessionsOn(day) {
			if i == 0 && oddities[day] != nil {
				oddities[day](&s)
			}
			scenes = append(scenes, scene{day, s.hour, "session with " + s.item, func(ctx context.Context) error { return h.test(ctx, s) }})
		}
	}
	return scenes
}

// oddities are what went otherwise in the first session of a day.
var oddities = map[int]func(s *session){
	-205: func(s *session) { s.notFound = true },
	-103: func(s *session) { s.lost = 6.2 },
	-30:  func(s *session) { s.noGauge = true },
	-6:   func(s *session) { s.notFound = true },
}

// sessionsOn lists the sessions of a day.
func sessionsOn(day int) []session {
	switch weekdayOf(day) {
	case monday, wednesday, friday:
		return stoke(day)
	case tuesday:
		return coldholm(day)
	case thursday:
		return append(calibrations(day), ashbeck(day)...)
	}
	return nil
}

// away are the instruments that somebody else had for some days. The monthly calibration of the last three is overdue since.
var away = []struct {
	serial      string
	from, until int
}{
	{broken, brokenSince, 0}, {"D-011", -16, -12}, {"D-023", -16, -12}, {"P-005", -16, -10},
}

// here leaves out who is away.
func here(serials []string, day int) []string {
	return slices.DeleteFunc(slices.Clone(serials), func(serial string) bool {
		for _, a := range away {
			if a.serial == serial && a.from <= day && day <= a.until {
				return true
			}
		}
		return false
	})
}

// stoke bumps all that is worn at Stoke Reach, each round with the set that it needs.
func stoke(day int) []session {
	sessions := []session{
		fourGasAt("07:12", technicianA, line{bumpQ4, here(diffusion, day)}),
		fourGasAt("10:15", technicianB, line{bumpQ4, here(pumped, day)}),
	}
	if day >= newerCame {
		sessions = append(sessions, fourGasAt("11:30", technicianA, line{bumpQ4, here(newer, day)}))
	}
	return sessions
}

// fourGasAt is a session at the bench. What is left in a cylinder after its last round is a loss.
func fourGasAt(hour, who string, l line) session {
	return session{hour: hour, who: who, item: fourGas, place: bench, least: 8.7, lines: []line{l}}
}

// onceAMonth tells whether the monthly sessions fall on a Thursday: every 28, 28 and 35 days, which makes twelve a year.
func onceAMonth(day int) bool {
	switch ((day % 91) + 91) % 91 {
	case 22, 50, 78:
		return true
	}
	return false
}

// calibrations are those of four-gas, and a zero setting. The newer monitors are not among them: their set value and the gas do
// not agree.
func calibrations(day int) []session {
	if !onceAMonth(day) {
		return nil
	}
	return []session{
		fourGasAt("07:20", technicianA, line{calQ4, here(diffusion, day)}),
		fourGasAt("12:40", technicianB, line{calQ4, here(pumped, day)}),
		{hour: "14:30", who: technicianB, item: zeroAir, place: shelfA, setStays: day > -75, least: 6, lines: []line{{zeroD, here(pumped, day)}}},
	}
}

func ashbeck(day int) []session {
	s := session{hour: "10:30", who: technicianB, item: chlorine, place: cabinet, least: 11, lines: []line{{bumpCL, chlorineFleet}}}
	if onceAMonth(day) {
		s.lines = append(s.lines, line{calCL, chlorineFleet})
	}
	return []session{s}
}

func coldholm(day int) []session {
	if day >= shutdownBegins {
		return nil
	}
	if onceAMonth(day + 2) {
		return []session{coldholmWith(line{bumpNH, ammoniaFleet}, line{calNH, ammoniaFleet})}
	}
	return []session{coldholmWith(line{bumpNH, ammoniaFleet})}
}

func coldholmWith(lines ...line) session {
	return session{hour: "10:15", who: technicianB, item: ammonia, place: cabinet, least: 9, lines: lines}
}

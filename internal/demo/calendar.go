package demo

import "context"

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
	shutdownBegins = -70 // of the chiller at Coldholm, for the winter
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
		return []session{stoke()}
	case tuesday:
		return coldholm(day)
	case thursday:
		return append(calibrations(day), ashbeck(day)...)
	}
	return nil
}

// stoke bumps all that is worn at Stoke Reach. What is left in a cylinder after its last such round is a loss.
func stoke() session {
	return session{hour: "07:12", who: technicianA, item: fourGas, place: bench, regulator: forFourGas, tubing: "T-01", least: 8.7, lines: []line{{bumpQ4, wornThere}}}
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
		{hour: "08:10", who: technicianA, item: fourGas, place: bench, regulator: forFourGas, tubing: "T-01", least: 8.7, lines: []line{{calQ4, diffusion}}},
		{hour: "12:40", who: technicianB, item: fourGas, place: bench, regulator: onDemand, tubing: "T-01", least: 8.7, lines: []line{{calQ4, pumped}}},
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
	if onceAMonth(day + 2) {
		return []session{coldholmWith(line{bumpNH, ammoniaFleet}, line{calNH, ammoniaFleet})}
	}
	return []session{coldholmWith(line{bumpNH, ammoniaFleet})}
}

func coldholmWith(lines ...line) session {
	return session{hour: "10:15", who: technicianB, item: ammonia, place: cabinet, regulator: forAmmonia, tubing: "T-03", least: 9, lines: lines}
}

package demand

import (
	"gonum.org/v1/gonum/stat"

	"spanroom/internal/unit"
)

// planned is the schedule summed up.
type planned struct {
	perWeek float64
	starts  unit.Date // the earliest start that still lies ahead, "" where all of it runs already
	faulty  int
}

func readSchedule(lines []Scheduled, today unit.Date, opts Options) planned {
	var p planned
	horizon := today.AddDays(7 * opts.AheadWeeks)
	for _, s := range lines {
		switch {
		case !s.possible():
			p.faulty++
		case s.Until != "" && s.Until < today, s.From > horizon, s.PerWeek() == 0:
			// over, too far ahead, or nothing to do
		default:
			p.perWeek += s.PerWeek()
			if s.From > today {
				p.starts = unit.EarlierOf(p.starts, s.From)
			}
		}
	}
	return p
}

// used is history summed up by weeks, the latest first. It begins with the first use known, so that a young store is not
// taken for a frugal one.
type used struct {
	weekly []float64
	tests  float64
	faulty int
}

func readHistory(history []Use, today unit.Date, window int) used {
	var u used
	type session struct {
		week int
		Use
	}
	var sessions []session
	weeks := 0
	for _, one := range history {
		ago := one.On.DaysUntil(today)
		if one.On.Time().IsZero() || ago < 0 || !possible(one.Litres) {
			u.faulty++
			continue
		}
		sessions = append(sessions, session{ago / 7, one})
		weeks = max(weeks, ago/7+1)
	}
	u.weekly = make([]float64, min(window, weeks))
	for _, s := range sessions {
		if s.week < len(u.weekly) {
			u.weekly[s.week] += s.Litres
			u.tests += float64(max(1, s.Tests))
		}
	}
	return u
}

func (u used) mean() float64 {
	if len(u.weekly) == 0 {
		return 0
	}
	return stat.Mean(u.weekly, nil)
}

func (u used) sd() float64 { return stat.StdDev(u.weekly, nil) }

func (u used) testsAQuarter() float64 {
	if len(u.weekly) == 0 {
		return 0
	}
	return u.tests / float64(len(u.weekly)) * perQuarter
}

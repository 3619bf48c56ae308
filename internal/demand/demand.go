// Package demand forecasts how much of an item is used a week, from the test schedule and from past use, and shows both.
package demand

import (
	"math"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// WeeksPerMonth turns "once a month" into tests a week: a month is a twelfth of 365.25 days.
const WeeksPerMonth = 365.25 / 12 / 7

const (
	rule       = "R46"
	absurd     = 1e9 // more a week than any storeroom uses: such a figure is a mistake and is left out
	mostWeeks  = 5200
	perQuarter = 3 * WeeksPerMonth // weeks
)

// Scheduled is what one round asks of one procedure: each instrument tested so often, and a purge each session.
type Scheduled struct {
	LitresPerTest, TestsPerWeek float64
	PurgeL, SessionsPerWeek     float64
	Instruments                 int
	From, Until                 unit.Date // "" where it has always run, or runs on
}

// PerWeek gives the litres a week that the line asks for while it runs.
func (s Scheduled) PerWeek() float64 {
	return float64(s.Instruments)*s.TestsPerWeek*s.LitresPerTest + s.SessionsPerWeek*s.PurgeL
}

func (s Scheduled) possible() bool {
	for _, f := range []float64{s.LitresPerTest, s.TestsPerWeek, s.PurgeL, s.SessionsPerWeek, float64(s.Instruments), s.PerWeek()} {
		if !possible(f) {
			return false
		}
	}
	return true
}

// Use is what one past session took from stock. Tests is how many tests it stood for; 0 counts as one.
type Use struct {
	On     unit.Date
	Litres float64
	Tests  int
}

// Options are the policy figures of the forecast, and the unit that its sentences name.
type Options struct {
	Unit           string  // "L" for gas, otherwise the unit of the item
	DifferLimit    float64 // schedule and history further apart than this share of the schedule are pointed out
	SparseTests    float64 // fewer tests a quarter than this are too few to judge from
	WindowWeeks    int     // how far back use is looked at
	SpreadWeeks    int     // weeks of history from which its spread is believed
	ScheduleSpread float64 // spread a week, as a share of the mean, where history cannot give it
	AheadWeeks     int     // a schedule that starts later than this is not yet counted
}

// DefaultOptions are the figures that the settings start with. ScheduleSpread is that of the worked example of R46, 0.20 on 0.54.
var DefaultOptions = Options{
	Unit: "L", DifferLimit: 0.25, SparseTests: 12, WindowWeeks: 26, SpreadWeeks: 8, ScheduleSpread: 0.37, AheadWeeks: 26,
}

// The two sources of a forecast.
const (
	BySchedule = "schedule"
	ByHistory  = "history"
)

// Forecast is the use a week with its standard deviation. Schedule and History are both given; Used names the one that PerWeek follows.
type Forecast struct {
	PerWeek, SD       float64
	Schedule, History float64
	Used              string
	Weeks             int // weeks of history behind History
	Findings          []problem.Finding
	Sentence          string
}

// Make forecasts from what is planned and what was used up to today. Where there is a schedule it wins; history is the second
// opinion, and gives the spread where it is long and dense enough. Otherwise the spread is ScheduleSpread of the mean.
func Make(schedule []Scheduled, history []Use, today unit.Date, opts Options) Forecast {
	opts = opts.sane()
	plan := readSchedule(schedule, today, opts)
	past := readHistory(history, today, opts.WindowWeeks)

	f := Forecast{Schedule: plan.perWeek, History: past.mean(), Used: ByHistory, Weeks: len(past.weekly)}
	f.PerWeek = f.History
	if f.Schedule > 0 {
		f.PerWeek, f.Used = f.Schedule, BySchedule
	}
	f.SD = opts.ScheduleSpread * f.PerWeek
	measured := len(past.weekly) >= max(2, opts.SpreadWeeks) && past.testsAQuarter() >= opts.SparseTests
	if measured {
		f.SD = past.sd()
	}
	f.Findings = findings(f, plan, past, opts)
	f.Sentence = sentence(f, measured, opts)
	return f
}

// sane takes out of the settings what no sum could use.
func (o Options) sane() Options {
	for _, f := range []*float64{&o.DifferLimit, &o.SparseTests, &o.ScheduleSpread} {
		if !possible(*f) {
			*f = 0
		}
	}
	for _, n := range []*int{&o.WindowWeeks, &o.SpreadWeeks, &o.AheadWeeks} {
		*n = min(max(0, *n), mostWeeks)
	}
	return o
}

// possible keeps NaN, infinities, negative and absurd figures out of the sums.
func possible(f float64) bool { return f >= 0 && f <= absurd && !math.IsNaN(f) }

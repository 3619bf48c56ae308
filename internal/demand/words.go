package demand

import (
	"fmt"
	"math"
	"strings"

	"spanroom/internal/problem"
)

func findings(f Forecast, plan planned, past used, opts Options) []problem.Finding {
	var out []problem.Finding
	note := func(text, advice string) {
		out = append(out, problem.Finding{Rule: rule, Severity: problem.Note, Subject: "forecast", Text: text, Advice: advice})
	}
	if f.Schedule > 0 && f.Weeks > 0 && math.Abs(f.History-f.Schedule) > opts.DifferLimit*f.Schedule {
		note(fmt.Sprintf("the schedule asks for %s a week, history shows %s, %+.0f %%", amount(f.Schedule, opts.Unit), amount(f.History, opts.Unit), 100*(f.History/f.Schedule-1)),
			"compare the rounds with what is really tested")
	}
	if f.Schedule == 0 && f.Weeks > 0 && past.testsAQuarter() < opts.SparseTests {
		note(fmt.Sprintf("history is thin: %.0f tests in %s, and no schedule to lean on", past.tests, weeks(f.Weeks)),
			"enter the rounds that use it")
	}
	if plan.starts != "" {
		note("part of the schedule starts on "+plan.starts.Words()+" and is counted already", "")
	}
	if n := plan.faulty + past.faulty; n > 0 {
		note(fmt.Sprintf("%d schedule lines or sessions with an impossible figure or date are left out", n), "correct them")
	}
	return out
}

func sentence(f Forecast, measured bool, opts Options) string {
	var b strings.Builder
	switch {
	case f.PerWeek == 0 && f.Weeks == 0:
		return "no use is scheduled and none is recorded"
	case f.PerWeek == 0:
		return fmt.Sprintf("no use is scheduled and none is recorded in the last %s", weeks(f.Weeks))
	case f.Used == BySchedule:
		fmt.Fprintf(&b, "%s a week by the schedule", amount(f.Schedule, opts.Unit))
		if f.Weeks > 0 {
			fmt.Fprintf(&b, ", %s by %s of history", amount(f.History, opts.Unit), weeks(f.Weeks))
		} else {
			b.WriteString(", no history yet")
		}
	default:
		fmt.Fprintf(&b, "%s a week by %s of history, no schedule", amount(f.History, opts.Unit), weeks(f.Weeks))
	}
	if measured {
		fmt.Fprintf(&b, "; spread %s as measured", amount(f.SD, opts.Unit))
	} else {
		fmt.Fprintf(&b, "; spread taken as %.0f %% of that", 100*opts.ScheduleSpread)
	}
	return b.String()
}

func amount(f float64, name string) string {
	digits := 1
	if f < 1 {
		digits = 2
	}
	return strings.TrimSpace(fmt.Sprintf("%.*f %s", digits, f, name))
}

func weeks(n int) string {
	if n == 1 {
		return "1 week"
	}
	return fmt.Sprintf("%d weeks", n)
}

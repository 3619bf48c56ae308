package stock

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"spanroom/internal/catalogue"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

func TestWhenATestIsDue(t *testing.T) {
	const on = unit.Date("2027-03-03")
	for name, tt := range map[string]struct {
		passed, last unit.Date
		result       string
		every        int64
		dueOn        unit.Date
		words, state string
	}{
		"never tested":                          {"", "", "", 7, "", "never passed", Never},
		"never passed":                          {"", "2027-03-02", Fail, 7, "", "failed 2 Mar 2027", Failed},
		"only with gas that was on hold":        {"", "2027-03-02", DoesNotCount, 7, "", "never passed", Never},
		"passed today":                          {on, on, Pass, 7, "2027-03-10", "due in 7 days", InOrder},
		"the first day that is shown":           {"2027-02-27", "2027-02-27", Pass, 7, "2027-03-06", "due in 3 days", DueSoon},
		"the day before that":                   {"2027-02-28", "2027-02-28", Pass, 7, "2027-03-07", "due in 4 days", InOrder},
		"its day":                               {"2027-02-24", "2027-02-24", Pass, 7, on, "due today", DueSoon},
		"the day after":                         {"2027-02-23", "2027-02-23", Pass, 7, "2027-03-02", "1 day overdue", Overdue},
		"every day":                             {"2027-03-02", "2027-03-02", Pass, 1, on, "due today", DueSoon},
		"failed today since it passed":          {"2027-03-01", on, Fail, 31, on, "failed 3 Mar 2027", Failed},
		"failed yesterday since it passed":      {"2027-03-01", "2027-03-02", Fail, 31, "2027-03-02", "failed 2 Mar 2027", Failed},
		"failed after it was overdue":           {"2027-01-01", "2027-03-01", Fail, 31, "2027-02-01", "failed 1 Mar 2027", Failed},
		"calibrated with gas that was doubtful": {"2027-03-01", on, DoesNotCount, 31, on, "due today", DueSoon},
		"over the end of February":              {"2027-01-31", "2027-01-31", Pass, 31, on, "due today", DueSoon},
	} {
		row := DueRow{PassedOn: tt.passed, LastOn: tt.last, LastResult: tt.result, EveryDays: tt.every}
		row.judge(on, 3)
		if row.DueOn != tt.dueOn || row.State != tt.state || row.Words() != tt.words || (row.Days == nil) != (tt.passed == "") {
			t.Errorf("%s: %s, %s, %q; want %s, %s, %q", name, row.DueOn, row.State, row.Words(), tt.dueOn, tt.state, tt.words)
		}
	}
}

// smallFleet has a monitor in each state at two places, and one that is out of service; each is due for a bump every 7 days and
// a calibration every 31.
func smallFleet() schedules {
	f := schedules{
		procedures: map[string]models.Procedure{"bump": {ID: 1, Code: "bump", Purpose: "bump", BlendID: new(int64)}, "cal": {ID: 2, Code: "cal", Purpose: "calibration"}},
		blends:     map[int64]string{0: "Q4"}, sampling: map[string]string{"DIFF": "diffusion", "PUMP": "pumped"}, last: map[testedBy]store.LastTest{},
	}
	f.settings = catalogue.DefaultSettings()
	for _, one := range []struct {
		serial, place, model string
		bumped, calibrated   string // the day of the last pass
		gone                 bool
	}{
		{"D-001", "VAN-1", "DIFF", "2027-03-01", "2027-03-01", false}, // in order
		{"D-002", "VAN-1", "DIFF", "2027-02-25", "2027-01-20", false}, // due, overdue
		{"D-003", "BENCH", "DIFF", "2027-02-26", "2027-03-01", false}, // due, in order
		{"P-001", "BENCH", "PUMP", "", "2027-03-01", false},           // never, in order
		{"P-002", "BENCH", "PUMP", "", "", true},
		{"P-003", "BENCH", "PUMP", "2027-03-01", "", false}, // in order, never
	} {
		f.instruments = append(f.instruments, catalogue.Instrument{Code: one.serial, Place: one.place, Model: one.model, OutOfService: one.gone, Schedule: []catalogue.Schedule{{Procedure: "bump", EveryDays: 7}, {Procedure: "cal", EveryDays: 31}}})
		for procedure, day := range map[int64]string{1: one.bumped, 2: one.calibrated} {
			if at, err := time.Parse(time.DateOnly, day); err == nil {
				f.last[testedBy{one.serial, procedure}] = store.LastTest{HappenedAt: unit.InstantOf(at), PassedAt: unit.InstantOf(at), Result: Pass, Valid: true}
			}
		}
	}
	passed, failed := unit.InstantOf(time.Date(2027, 3, 1, 0, 0, 0, 0, time.UTC)), unit.InstantOf(time.Date(2027, 3, 2, 0, 0, 0, 0, time.UTC))
	f.instruments = append(f.instruments, catalogue.Instrument{Code: "U-001", Place: "VAN-1", Schedule: []catalogue.Schedule{{Procedure: "cal", EveryDays: 31}}}) // of no model: passed, then failed
	f.last[testedBy{"U-001", 2}] = store.LastTest{HappenedAt: failed, PassedAt: passed, Result: Fail, Valid: true}
	f.instruments = append(f.instruments, catalogue.Instrument{Code: "X-001", Place: "BENCH"}) // without a schedule
	return f
}

func TestWhatIsDueByPlaceAndDay(t *testing.T) {
	all := "U-001 cal failed, P-001 bump never, P-003 cal never, D-003 bump due, D-002 cal overdue, D-002 bump due"
	counts := DueCounts{Failed: 1, Due: 2, Overdue: 1, Never: 2, OK: 5, OutOfService: 1}
	monitors := DueCounts{Failed: 1, Due: 1, Overdue: 1, Never: 2, OK: 1, OutOfService: 1}
	for name, tt := range map[string]struct {
		q                DueQuestion
		rows             string
		counts, monitors DueCounts
		groups           string
	}{
		"all":           {DueQuestion{}, all, counts, monitors, "bump Q4 diffusion D-003 D-002; bump Q4 pumped P-001; cal   U-001; cal  diffusion D-002; cal  pumped P-003"},
		"one state":     {DueQuestion{State: Overdue}, "D-002 cal overdue", counts, monitors, "cal  diffusion D-002"},
		"failed":        {DueQuestion{State: Failed}, "U-001 cal failed", counts, monitors, "cal   U-001"},
		"in order":      {DueQuestion{State: InOrder, Model: "DIFF"}, "D-003 cal ok, D-001 bump ok, D-001 cal ok", DueCounts{Due: 2, Overdue: 1, OK: 3}, DueCounts{Due: 1, Overdue: 1, OK: 1}, ""},
		"one place":     {DueQuestion{Place: "VAN-1"}, "U-001 cal failed, D-002 cal overdue, D-002 bump due", DueCounts{Failed: 1, Due: 1, Overdue: 1, OK: 2}, DueCounts{Failed: 1, Overdue: 1, OK: 1}, "bump Q4 diffusion D-002; cal   U-001; cal  diffusion D-002"},
		"one model":     {DueQuestion{Model: "PUMP"}, "P-001 bump never, P-003 cal never", DueCounts{Never: 2, OK: 2, OutOfService: 1}, DueCounts{Never: 2, OutOfService: 1}, "bump Q4 pumped P-001; cal  pumped P-003"},
		"no such place": {DueQuestion{Place: "NOWHERE"}, "", DueCounts{}, DueCounts{}, ""},
	} {
		tt.q.On, tt.q.Limit = "2027-03-03", 50
		a := smallFleet().due(tt.q)
		var groups []string
		for _, g := range a.Groups {
			groups = append(groups, fmt.Sprintf("%s %s %s %s", g.Procedure, g.Blend, g.Sampling, strings.Join(g.Instruments, " ")))
		}
		if got := dueLines(a.Rows); got != tt.rows || a.Counts != tt.counts || a.Monitors != tt.monitors || strings.Join(groups, "; ") != tt.groups {
			t.Errorf("%s: %s\n%+v %+v %q", name, got, a.Counts, a.Monitors, groups)
		}
	}
}

func dueLines(rows []DueRow) string {
	var lines []string
	for _, row := range rows {
		lines = append(lines, fmt.Sprintf("%s %s %s", row.Instrument, row.Procedure, row.State))
	}
	return strings.Join(lines, ", ")
}

// Whoever reads part after part reads every row once, also where what was read is tested meanwhile and leaves the list.
func TestPartsOfWhatIsDueLeaveNothingOut(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := smallFleet()
		q := DueQuestion{On: "2027-03-03", Limit: 50}
		want := f.due(q).Rows
		q.Limit = rapid.IntRange(1, 6).Draw(rt, "limit")
		var got []DueRow
		for {
			a := f.due(q)
			got = append(got, a.Rows...)
			if q.After = a.Next; q.After == "" {
				break
			}
			if tested := a.Rows[0]; rapid.Bool().Draw(rt, "tested meanwhile") {
				now := unit.InstantOf(q.On.Time())
				f.last[testedBy{tested.Instrument, f.procedures[tested.Procedure].ID}] = store.LastTest{HappenedAt: now, PassedAt: now, Result: Pass, Valid: true}
			}
		}
		if !slices.Equal(strings.Split(dueLines(got), ", "), strings.Split(dueLines(want), ", ")) {
			rt.Fatalf("by %d: %s, want %s", q.Limit, dueLines(got), dueLines(want))
		}
	})
}

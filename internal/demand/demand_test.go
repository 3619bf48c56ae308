package demand

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/unit"
)

const today unit.Date = "2027-03-03"

// The rounds of the water utility: 56 four-gas monitors and 6 chlorine instruments.
var (
	fourGas = []Scheduled{
		{LitresPerTest: 0.15, TestsPerWeek: 3, Instruments: 56, PurgeL: 0.3, SessionsPerWeek: 10},
		{LitresPerTest: 0.6, TestsPerWeek: 1 / WeeksPerMonth, Instruments: 56},
	}
	chlorine = []Scheduled{
		{LitresPerTest: 1, TestsPerWeek: 1, Instruments: 6, PurgeL: 5, SessionsPerWeek: 1},
		{LitresPerTest: 3, TestsPerWeek: 1 / WeeksPerMonth, Instruments: 6},
	}
)

// weekly makes one session a week, the latest three days ago.
func weekly(litres ...float64) []Use {
	var out []Use
	for i, l := range litres {
		out = append(out, Use{On: today.AddDays(-3 - 7*i), Litres: l, Tests: 4})
	}
	return out
}

func TestScheduleOfTheFixture(t *testing.T) {
	for _, c := range []struct {
		name     string
		schedule []Scheduled
		want     float64
		full     float64 // usable litres of a full cylinder
		cylinder float64
	}{
		{"four-gas", fourGas, 35.9, 66.1, 0.54},
		{"chlorine", chlorine, 15.1, 109.9, 0.14},
	} {
		f := Make(c.schedule, nil, today, DefaultOptions)
		if math.Abs(f.PerWeek-c.want) > 0.05 || f.Used != BySchedule || f.Schedule != f.PerWeek {
			t.Errorf("%s: %+v, want %.1f L a week by the schedule", c.name, f, c.want)
		}
		if got := f.PerWeek / c.full; math.Abs(got-c.cylinder) > 0.005 {
			t.Errorf("%s: %.3f cylinders a week, want %.2f", c.name, got, c.cylinder)
		}
		if want := 0.37 * f.PerWeek; math.Abs(f.SD-want) > 1e-9 {
			t.Errorf("%s: spread %v, want the rule's %v", c.name, f.SD, want)
		}
	}
}

func TestWhichSourceWins(t *testing.T) {
	ten := []Scheduled{{LitresPerTest: 1, TestsPerWeek: 1, Instruments: 10}}
	steady := weekly(12, 8, 12, 8, 12, 8, 12, 8, 12, 8)
	for _, c := range []struct {
		name     string
		schedule []Scheduled
		history  []Use
		perWeek  float64
		sd       float64
		used     string
		note     string // what one finding says; "" where there must be none
		says     string
	}{
		{"schedule wins over dense history, which gives the spread", ten, steady, 10, math.Sqrt(40.0 / 9), BySchedule, "", "spread 2.1 L as measured"},
		{"schedule wins over sparse history", ten, weekly(11, 9), 10, 3.7, BySchedule, "", "10.0 L by 2 weeks of history; spread taken as 37 % of that"},
		{"a quarter apart is not pointed out", ten, weekly(12.5), 10, 3.7, BySchedule, "", "12.5 L by 1 week"},
		{"more than a quarter apart is", ten, weekly(12.6), 10, 3.7, BySchedule, "+26 %", ""},
		{"ten idle weeks are not the end of use", ten, []Use{{On: today.AddDays(-71), Litres: 10}}, 10, 3.7, BySchedule, "-91 %", "10.0 L a week by the schedule"},
		{"history alone", nil, steady, 10, math.Sqrt(40.0 / 9), ByHistory, "", "no schedule"},
		{"thin history alone", nil, []Use{{On: today, Litres: 4}, {On: today.AddDays(-20), Litres: 2}}, 2, 0.74, ByHistory, "history is thin: 2 tests in 3 weeks", ""},
		{"nothing at all", nil, nil, 0, 0, ByHistory, "", "no use is scheduled and none is recorded"},
		{"nothing lately", nil, []Use{{On: "2025-01-01", Litres: 4}}, 0, 0, ByHistory, "history is thin", "none is recorded in the last 26 weeks"},
	} {
		f := Make(c.schedule, c.history, today, DefaultOptions)
		if math.Abs(f.PerWeek-c.perWeek) > 1e-9 || math.Abs(f.SD-c.sd) > 1e-9 || f.Used != c.used {
			t.Errorf("%s: %.3f ± %.3f by %s, want %.3f ± %.3f by %s", c.name, f.PerWeek, f.SD, f.Used, c.perWeek, c.sd, c.used)
		}
		var texts []string
		for _, one := range f.Findings {
			texts = append(texts, one.Text)
		}
		if all := strings.Join(texts, "; "); c.note == "" && all != "" || !strings.Contains(all, c.note) {
			t.Errorf("%s: findings %q, want %q", c.name, all, c.note)
		}
		if !strings.Contains(f.Sentence, c.says) {
			t.Errorf("%s: %q does not say %q", c.name, f.Sentence, c.says)
		}
	}
}

func TestScheduleHasItsTime(t *testing.T) {
	line := Scheduled{LitresPerTest: 2, TestsPerWeek: 1, Instruments: 4}
	for _, c := range []struct {
		from, until unit.Date
		want        float64
		notes       int
	}{
		{"", "", 8, 0},
		{"2027-04-01", "", 8, 1}, // the plant restarts in four weeks: order for it now
		{"2027-03-03", "2027-03-03", 8, 0},
		{"", "2027-03-02", 0, 0},
		{"2028-01-01", "", 0, 0},
	} {
		line.From, line.Until = c.from, c.until
		f := Make([]Scheduled{line}, nil, today, DefaultOptions)
		if f.PerWeek != c.want || len(f.Findings) != c.notes {
			t.Errorf("from %q until %q: %v a week with %v, want %v", c.from, c.until, f.PerWeek, f.Findings, c.want)
		}
	}
}

func TestImpossibleFiguresAreLeftOut(t *testing.T) {
	f := Make(
		[]Scheduled{
			{LitresPerTest: 1, TestsPerWeek: 1, Instruments: 5}, {LitresPerTest: math.NaN(), Instruments: 1}, {Instruments: -3, LitresPerTest: 1, TestsPerWeek: 1},
			{LitresPerTest: 1e8, TestsPerWeek: 1e8, Instruments: 9},
		},
		[]Use{{On: today, Litres: 5}, {On: today, Litres: math.Inf(1)}, {On: "soon", Litres: 1}, {On: today.AddDays(1), Litres: 1}, {On: today, Litres: -2}},
		today, DefaultOptions)
	if f.Schedule != 5 || f.History != 5 {
		t.Errorf("schedule %v and history %v, want 5 and 5", f.Schedule, f.History)
	}
	if len(f.Findings) != 1 || !strings.HasPrefix(f.Findings[0].Text, "7 schedule lines or sessions") {
		t.Errorf("findings %v", f.Findings)
	}
}

func TestForecastIsAlwaysFinite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var schedule []Scheduled
		for range rapid.IntRange(0, 4).Draw(t, "lines") {
			schedule = append(schedule, Scheduled{
				LitresPerTest: rapid.Float64().Draw(t, "litres"), TestsPerWeek: rapid.Float64().Draw(t, "tests"),
				Instruments: rapid.Int().Draw(t, "instruments"), PurgeL: rapid.Float64().Draw(t, "purge"), SessionsPerWeek: rapid.Float64().Draw(t, "sessions"),
			})
		}
		var history []Use
		for range rapid.IntRange(0, 20).Draw(t, "sessions") {
			history = append(history, Use{
				On: today.AddDays(rapid.IntRange(-400, 5).Draw(t, "on")), Litres: rapid.Float64().Draw(t, "use"), Tests: rapid.IntRange(-5, 50).Draw(t, "count"),
			})
		}
		opts := Options{
			DifferLimit: rapid.Float64().Draw(t, "differ"), SparseTests: rapid.Float64().Draw(t, "sparse"), ScheduleSpread: rapid.Float64().Draw(t, "spread"),
			WindowWeeks: rapid.Int().Draw(t, "window"), SpreadWeeks: rapid.Int().Draw(t, "weeks"), AheadWeeks: rapid.Int().Draw(t, "ahead"),
		}
		f := Make(schedule, history, today, opts)
		for _, v := range []float64{f.PerWeek, f.SD, f.Schedule, f.History} {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
				t.Fatalf("%+v", f)
			}
		}
		if f.Schedule > 0 && f.PerWeek != f.Schedule {
			t.Fatalf("a schedule of %v gives way to %v", f.Schedule, f.PerWeek)
		}
	})
}

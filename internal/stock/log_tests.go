package stock

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/models"
)

// TestLogOrder is one test of an instrument. As found and as left are a text, or an object of channel and reading.
type TestLogOrder struct {
	Checkout   int64  `json:"-"`
	Instrument string `json:"instrument"`
	Procedure  string `json:"procedure"`
	Result     string `json:"result"`
	Attempts   int64  `json:"attempts,omitempty"` // 1 where it is left out; each takes gas
	AsFound    any    `json:"as_found,omitempty"`
	AsLeft     any    `json:"as_left,omitempty"`
}

// TestLogAnswer is a test that was recorded, and how far the gas goes now.
type TestLogAnswer struct {
	Checkout int64             `json:"checkout"`
	Test     TestAnswer        `json:"test"`
	Progress Progress          `json:"progress"`
	Findings []problem.Finding `json:"findings"`
}

// The results of a test.
const (
	Pass = "pass"
	Fail = "fail"
)

// The bounds of one line.
const (
	mostAttempts   = 100
	longestReading = 2_000
)

// LogTests records a test on a cylinder that is out. Whoever has joined may log, each in their own name (R30, R31).
func (r Room) LogTests(ctx context.Context, act auth.Act, o TestLogOrder) (TestLogAnswer, error) {
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (TestLogAnswer, error) {
		m, err := r.moment(ctx, tx)
		if err != nil {
			return TestLogAnswer{}, err
		}
		out, err := loadOuting(ctx, tx, m, o.Checkout)
		if err == nil {
			err = out.closed()
		}
		if err != nil {
			return TestLogAnswer{}, err
		}
		read := newTestReader(tx, m, act.By, &out)
		test, findings := read.line(ctx, "", o)
		if test.Instrument != "" {
			read.known(ctx, func(int) string { return "instrument" }, []string{test.Instrument})
		}
		findings = append(findings, read.match(ctx, []*models.Test{&test})...)
		if err := read.err(); err != nil {
			return TestLogAnswer{}, err
		}
		if err := tx.AddTests(ctx, []models.Test{test}); err != nil {
			return TestLogAnswer{}, err
		}
		if out.logged, err = tx.TestsOf(ctx, o.Checkout); err != nil {
			return TestLogAnswer{}, err
		}
		last := out.logged[len(out.logged)-1]
		return TestLogAnswer{o.Checkout, testAnswer(last), out.progress(), problem.Sort(append([]problem.Finding{}, findings...))}, nil
	})
}

// testReader reads lines of tests for one outing.
type testReader struct {
	*needReader
	outing *outing
	by     auth.Person
}

func newTestReader(s *store.Store, m moment, by auth.Person, o *outing) *testReader {
	r := newNeedReader(s, m, by)
	r.blend = models.Blend{ID: o.lot.BlendID, Code: o.item.Code} // by the name on the cylinder
	return &testReader{needReader: r, outing: o, by: by}
}

// lines reads all tests that come with a return; a blank row is skipped.
func (r *testReader) lines(ctx context.Context, rows []TestLogOrder) (tests []models.Test, findings []problem.Finding) {
	if len(rows) > mostInstruments {
		r.wrong.Add("tests", fmt.Sprintf("there are %d tests", len(rows)), fmt.Sprintf("log them in parts of up to %d", mostInstruments))
		return nil, nil
	}
	var serials, fields []string // looked up together
	for i, row := range rows {
		if row.blank() {
			continue
		}
		prefix := fmt.Sprintf("tests.%d.", i)
		test, found := r.line(ctx, prefix, row)
		tests, findings = append(tests, test), append(findings, found...)
		if test.Instrument != "" {
			serials, fields = append(serials, test.Instrument), append(fields, prefix+"instrument")
		}
	}
	r.known(ctx, func(i int) string { return fields[i] }, serials)
	matched := make([]*models.Test, len(tests))
	for i := range tests {
		matched[i] = &tests[i]
	}
	return tests, append(findings, r.match(ctx, matched)...)
}

// match holds each test against its own instrument: where the gas is not right for it, the test is recorded and does not count.
func (r *testReader) match(ctx context.Context, tests []*models.Test) []problem.Finding {
	had := map[int64][]string{} // the instruments of each procedure
	var serials []string
	for _, t := range tests {
		had[t.ProcedureID], serials = append(had[t.ProcedureID], t.Instrument), append(serials, t.Instrument)
	}
	f, regulator := r.load(ctx, serials), r.piece(ctx, ofRegulator, r.outing.row.Regulator)
	var doubts []problem.Finding
	for _, id := range slices.Sorted(maps.Keys(had)) {
		p, known := r.outing.procedures[id]
		if !known {
			continue
		}
		for _, alike := range r.group(f, had[id]) {
			stops := r.stops(testCount{Procedure: p, on: group{alike}}, regulator)
			doubts = append(doubts, stops...)
			for _, t := range tests {
				t.Valid = t.Valid && (len(stops) == 0 || t.ProcedureID != id || !slices.Contains(alike.Serials, t.Instrument))
			}
		}
	}
	return doubts
}

// stops are what is against a test with this gas and flow on instruments whose model is known, as notes. What the regulator is to
// the gas was judged when they went out together.
func (r *testReader) stops(t testCount, regulator *piece) []problem.Finding {
	if t.on[0].Model == "" {
		return nil
	}
	v, n, c := r.outing.v, r.outing.need, r.outing.cylinder
	found := append(fit.Match(n.test(t), c.gas(), t.on, v.policy), t.foreign(c)...)
	if regulator != nil {
		fittings := fit.Fittings(n.test(t), v.bottle(c, n), fit.Set{Regulator: regulator.set.Regulator}, t.on, v.policy)
		found = append(found, only(fittings, func(f problem.Finding) bool { return f.Rule == "R23" })...)
	}
	return doubtful(found)
}

func (o TestLogOrder) blank() bool {
	return strings.TrimSpace(o.Instrument+o.Procedure) == "" && o.Attempts == 0
}

// line reads one test, and tells what makes it doubtful; whether its instrument is known is for the caller. The prefix is that
// of its row.
func (r *testReader) line(ctx context.Context, prefix string, o TestLogOrder) (models.Test, []problem.Finding) {
	test := models.Test{
		CheckoutID: r.outing.row.ID, Instrument: r.text(prefix+"instrument", o.Instrument, longestName), Result: o.Result, Attempts: max(o.Attempts, 1),
		HappenedAt: r.at, RecordedAt: r.at, ByName: r.by.Name,
	}
	if test.Instrument == "" {
		r.wrong.Add(prefix+"instrument", "the instrument is not given", "scan or type its serial")
	}
	if o.Result != Pass && o.Result != Fail {
		r.wrong.Add(prefix+"result", fmt.Sprintf("%q is no result", clip(o.Result)), "choose pass or fail")
	}
	if o.Attempts < 0 || o.Attempts > mostAttempts {
		r.wrong.Add(prefix+"attempts", fmt.Sprintf("%d is out of range", o.Attempts), fmt.Sprintf("count every time gas was given, from 1 to %d", mostAttempts))
	}
	test.Readings = r.readings(prefix, o)
	p := r.procedure(ctx, prefix+"procedure", o.Procedure)
	if p == nil {
		return test, nil
	}
	test.ProcedureID, test.Used = p.ID, litresOf(r.outing.need.testLitres(*p)*float64(test.Attempts))
	doubts := r.outing.doubts(Purpose(p.Purpose))
	test.Valid = len(doubts) == 0
	return test, append(doubts, outOfUse(test, *p)...)
}

func (r *testReader) procedure(ctx context.Context, field, code string) *models.Procedure {
	if strings.TrimSpace(code) == "" {
		r.wrong.Add(field, "the procedure is not given", "choose one from the list of procedures")
		return nil
	}
	for _, p := range r.outing.procedures {
		if p.Code == strings.TrimSpace(code) {
			return &p // it was looked up already
		}
	}
	p := found(ctx, r.needReader, field, "procedure", code, r.store.ProcedureByCode)
	if p == nil || !r.fits(ctx, field, *p) {
		return nil
	}
	if r.outing.procedures == nil {
		r.outing.procedures = map[int64]models.Procedure{}
	}
	r.outing.procedures[p.ID] = *p
	return p
}

// readings keeps what was seen before and after, as it was typed.
func (r *testReader) readings(prefix string, o TestLogOrder) string {
	kept := map[string]any{}
	for name, value := range map[string]any{"as_found": o.AsFound, "as_left": o.AsLeft} {
		switch seen := value.(type) {
		case nil:
		case string:
			if seen = strings.TrimSpace(seen); seen != "" {
				kept[name] = seen
			}
		case map[string]any:
			kept[name] = seen
		default:
			r.wrong.Add(prefix+name, "it is neither a text nor an object of channels", `write it like "H2S 24.1 ppm" or {"H2S": "24.1 ppm"}`)
		}
	}
	text, err := json.Marshal(kept)
	if err != nil || len(text) > longestReading {
		r.wrong.Add(prefix+"as_found", "the readings are too long", "keep to one figure for each channel")
		return "{}"
	}
	return string(text)
}

// doubts are why a test with this gas does not count although it is recorded: the gas is on hold or expired (R31).
func (o outing) doubts(p Purpose) []problem.Finding {
	n := need{purpose: p, from: o.v.today, until: o.v.today, mayExpire: o.v.settings.BumpOverrideExpired}
	found := append(o.v.held(o.cylinder, n), o.v.dates(o.cylinder, n, o.v.useBy(o.cylinder, o.takenOn()))...)
	return doubtful(found)
}

// doubtful makes notes of what would have stopped the use.
func doubtful(found []problem.Finding) []problem.Finding {
	doubts := only(found, func(f problem.Finding) bool { return f.Severity == problem.Stop })
	for i := range doubts {
		doubts[i].Severity, doubts[i].Advice = problem.Note, "the test is recorded and does not count: test the instrument again with other gas"
	}
	return doubts
}

// outOfUse notes what follows from a failed test (R31).
func outOfUse(t models.Test, p models.Procedure) []problem.Finding {
	if t.Result != Fail {
		return nil
	}
	advice := "tag it and take it out of use now"
	if Purpose(p.Purpose) == Bump {
		advice += "; calibrate it if the gas and the set are right"
	}
	return []problem.Finding{{Rule: "R31", Severity: problem.Note, Subject: t.Instrument, Text: p.Code + " failed", Advice: advice}}
}

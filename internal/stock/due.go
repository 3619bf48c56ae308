package stock

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"spanroom/internal/catalogue"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// DueQuestion asks which monitors are due for which tests on a day, today where it names none. A day that is past is judged
// by the schedules of that day and the tests that were done by its end.
type DueQuestion struct {
	On    unit.Date
	Place string
	Model string
	State string // one alone; "" for all but those in order
	After string // Next of the part before
	Limit int
}

// DueAnswer is a part of what is due: what failed, then the rest, by place and day. Counts are of tests, Monitors of monitors by the worst of their tests.
type DueAnswer struct {
	On       unit.Date  `json:"on"`
	Rows     []DueRow   `json:"rows"`
	Counts   DueCounts  `json:"counts"`
	Monitors DueCounts  `json:"monitors"`
	Next     string     `json:"next"`
	Groups   []DueGroup `json:"-"`
}

// DueRow is one monitor and one test of its schedule. An empty date is none: never tested, never passed, and so never due on a day.
type DueRow struct {
	Instrument string    `json:"instrument"`
	Model      string    `json:"model"`
	Place      string    `json:"place"`
	Procedure  string    `json:"procedure"`
	Purpose    Purpose   `json:"purpose"`
	EveryDays  int64     `json:"every_days"`
	LastOn     unit.Date `json:"last_on"`
	LastResult string    `json:"last_result"` // pass, fail, does_not_count, or "" where it was never tested
	PassedOn   unit.Date `json:"passed_on"`   // the last pass that counts
	DueOn      unit.Date `json:"due_on"`
	Days       *int      `json:"days"` // until it is due; null where it never passed
	State      string    `json:"state"`

	blend    string
	sampling string
}

// DueCounts has how many are in which state. What is out of service is due for nothing; its monitors are counted alone.
type DueCounts struct {
	Failed       int `json:"failed"`
	Due          int `json:"due"`
	Overdue      int `json:"overdue"`
	Never        int `json:"never"`
	OK           int `json:"ok"`
	OutOfService int `json:"out_of_service"`
}

// The states of a test on a schedule, the worst first.
const (
	Failed  = "failed" // the last test: not to be trusted until it passes
	Never   = "never"  // no pass that counts
	Overdue = "overdue"
	DueSoon = "due"
	InOrder = "ok"
)

// DoesNotCount is the result of a pass with gas that was on hold or expired (R31).
const DoesNotCount = "does_not_count"

var dueStates = []string{Failed, Never, Overdue, DueSoon, InOrder}

// DueStates lists the states, the worst first.
func DueStates() []string { return slices.Clone(dueStates) }

// Due tells which monitors failed, are due or overdue, or were never tested (R52).
func (r Room) Due(ctx context.Context, q DueQuestion) (DueAnswer, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return DueAnswer{}, err
	}
	if q, err = m.readDue(q); err != nil {
		return DueAnswer{}, err
	}
	f, err := loadSchedules(ctx, r.Store, m, q.On)
	if err != nil {
		return DueAnswer{}, err
	}
	return f.due(q), nil
}

// readDue checks a question, and fills in what it leaves out.
func (m moment) readDue(q DueQuestion) (DueQuestion, error) {
	r := orderReader{moment: m}
	if q.On = r.date("on", q.On); q.On == "" {
		q.On = m.today
	}
	if q.State != "" && !slices.Contains(dueStates, q.State) {
		r.wrong.Add("state", fmt.Sprintf("%q is no state", clip(q.State)), "choose one of "+list(dueStates))
	}
	if q.After != "" && strings.Count(q.After, placeInList) != len(DueRow{}.place())-1 {
		r.wrong.Add("after", "it is not the end of a part of this list", "give next as the part before has it, or leave it out")
	}
	q.Limit = pageLength(q.Limit)
	return q, r.wrong.Err()
}

// schedules are what the monitors are due for on a day, and how they were tested until its end.
type schedules struct {
	moment
	instruments []catalogue.Instrument
	sampling    map[string]string // of the models
	procedures  map[string]models.Procedure
	blends      map[int64]string
	last        map[testedBy]store.LastTest
}

type testedBy struct {
	instrument string
	procedure  int64
}

func loadSchedules(ctx context.Context, s *store.Store, m moment, on unit.Date) (schedules, error) {
	f := schedules{moment: m, sampling: map[string]string{}, procedures: map[string]models.Procedure{}, last: map[testedBy]store.LastTest{}}
	end := m.startOf(on.AddDays(1))
	var err error
	if f.instruments, err = documentsBefore[catalogue.Instrument](ctx, s, "instrument", end); err != nil {
		return f, err
	}
	types, err := documentsBefore[catalogue.Model](ctx, s, "model", end)
	if err != nil {
		return f, err
	}
	for _, t := range types {
		f.sampling[t.Code] = t.Sampling
	}
	tests, err := s.LastTests(ctx, end)
	if err != nil {
		return f, err
	}
	for _, t := range tests {
		f.last[testedBy{t.Instrument, t.ProcedureID}] = t
	}
	procedures, err := s.Procedures(ctx)
	if err != nil {
		return f, err
	}
	for _, p := range procedures {
		f.procedures[p.Code] = p
	}
	f.blends, err = s.BlendCodes(ctx)
	return f, err
}

// documentsBefore reads what was kept of a noun as it was at a moment.
func documentsBefore[T any](ctx context.Context, s *store.Store, noun string, end unit.Instant) ([]T, error) {
	versions, err := s.VersionsBefore(ctx, noun, end)
	if err != nil {
		return nil, err
	}
	documents := make([]T, len(versions))
	for i, v := range versions {
		if err := json.Unmarshal([]byte(v.Doc), &documents[i]); err != nil {
			return nil, fmt.Errorf("stock: reading a kept %s: %w", noun, err)
		}
	}
	return documents, nil
}

// startOf is the moment at which a day begins at the site.
func (m moment) startOf(day unit.Date) unit.Instant {
	t := day.Time()
	return unit.InstantOf(time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, m.settings.Location()))
}

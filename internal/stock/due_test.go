package stock

import (
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

func (h *harrowmere) due(q DueQuestion) DueAnswer {
	h.t.Helper()
	a, err := h.Due(h.ctx(), q)
	h.must(err)
	return a
}

// scheduled gives a monitor its schedule.
func (h *harrowmere) scheduled(serial, procedure string, days int64) {
	h.t.Helper()
	h.change("instrument", serial, func(o catalogue.Order) {
		o.(*catalogue.Instrument).Schedule = []catalogue.Schedule{{Procedure: procedure, EveryDays: days}}
	})
}

// R52: the auditor asks about a day that is past.
func TestOverdueOnADay(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s) // 3 March
		for serial, days := range map[string]int64{"D-001": 3, "D-002": 30, "D-003": 7} {
			h.scheduled(serial, "bump-q4", days)
		}
		id := h.take("A", h.receive(q4("7K-2206", 1))[0], 3).ID
		h.log("A", id, 2) // D-001 and D-002
		log := func(serial, result string) {
			t.Helper()
			_, err := h.LogTests(h.ctx(), h.act("A"), TestLogOrder{Checkout: id, Instrument: serial, Procedure: "bump-q4", Result: result})
			h.must(err)
		}
		h.now = h.now.AddDate(0, 0, 5) // 8 March
		h.scheduled("D-001", "bump-q4", 30)
		h.make(&catalogue.Instrument{Code: "D-099", Schedule: []catalogue.Schedule{{Procedure: "bump-q4", EveryDays: 1}}})
		log("D-002", Fail)
		log("D-003", Pass)
		h.now = h.now.AddDate(0, 0, 2) // 10 March
		h.change("instrument", "D-003", func(o catalogue.Order) { o.(*catalogue.Instrument).OutOfService = true })
		for _, tt := range []struct {
			on   unit.Date
			rows string
			out  int
		}{
			{"2027-03-02", "", 0}, // the catalogue was made on the third
			{"2027-03-03", "D-003 bump-q4 never, D-001 bump-q4 due", 0},
			{"2027-03-07", "D-003 bump-q4 never, D-001 bump-q4 overdue", 0},
			{"2027-03-08", "D-002 bump-q4 failed, D-099 bump-q4 never", 0},
			{"", "D-002 bump-q4 failed, D-099 bump-q4 never", 1},
			{"2027-03-31", "D-002 bump-q4 failed, D-099 bump-q4 never, D-001 bump-q4 due", 1},
		} {
			a := h.due(DueQuestion{On: tt.on})
			if got := dueLines(a.Rows); got != tt.rows || a.Counts.OutOfService != tt.out {
				t.Errorf("on %s: %s, %d out of service; want %s, %d", a.On, got, a.Counts.OutOfService, tt.rows, tt.out)
			}
		}
		if a := h.due(DueQuestion{}); a.On != "2027-03-10" || a.Rows[0].LastResult != Fail || a.Rows[0].LastOn != "2027-03-08" || a.Rows[0].PassedOn != "2027-03-03" {
			t.Errorf("%+v", a)
		}
	})
}

// A day begins at midnight at the site, and summer time with it.
func TestADayOfTestsIsOneOfTheSite(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	h.scheduled("D-001", "bump-q4", 1)
	id := h.take("A", h.receive(q4("7K-2206", 1))[0], 1).ID
	h.now = h.now.AddDate(0, 0, 25)                              // Sunday 28 March 2027, 07:00 UTC: the clocks have changed in Amsterdam
	h.now = h.now.Truncate(24 * 3600e9).Add(22*3600e9 + 30*60e9) // 00:30 of the 29th there
	h.log("A", id, 1)
	for on, want := range map[unit.Date]string{"2027-03-28": "D-001 bump-q4 never", "2027-03-29": "D-001 bump-q4 due"} {
		if got := dueLines(h.due(DueQuestion{On: on}).Rows); got != want {
			t.Errorf("on %s: %s, want %s", on, got, want)
		}
	}
}

func TestAQuestionForWhatIsDueThatIsWrong(t *testing.T) {
	h := settle(t, storetest.New(t))
	_, err := h.Due(h.ctx(), DueQuestion{On: "31 February 2027", State: "soon", After: "CAGE~D-001"})
	h.fields(err, "after on state")
	for _, f := range err.(*problem.Error).Fields {
		if f.Advice == "" {
			t.Errorf("%s has no next step", f.Name)
		}
	}
}

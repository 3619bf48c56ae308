package stock

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// onRounds is the setting with instruments, a round, a bench, digital gauges and no allowance for repeats.
func onRounds(t *testing.T, s *store.Store) *harrowmere {
	t.Helper()
	h := settle(t, s)
	h.settings(func(s *catalogue.Settings) { s.RetryPct, s.DefaultGauge = 0, "digital" })
	var serials []string
	for i := range 14 {
		serials = append(serials, fmt.Sprintf("D-%03d", i+1))
		h.make(&catalogue.Instrument{Code: serials[i]})
	}
	h.make(
		&catalogue.Place{Code: "BENCH", Kind: "bench"},
		&catalogue.Procedure{Code: "bump-cl", Purpose: "bump", Blend: "CL", Flow: "1.0 L/min", Duration: "1 min", Conditioning: "5 min"},
		&catalogue.Procedure{Code: "cal-cl", Purpose: "calibration", Blend: "CL", Flow: "1.0 L/min", Duration: "3 min", Conditioning: "5 min"},
		&catalogue.Procedure{Code: "bump-pumped", Purpose: "bump", Blend: "Q4", Flow: "0.45 L/min", Duration: "30 s", Purge: "0.3 L"},
		&catalogue.Round{Code: "stoke", Place: "VAN-1", Instruments: append(serials, "P-001", "P-002"), SessionsPerWeek: 3, Tests: []catalogue.RoundTest{
			{Procedure: "bump-q4", TimesPerWeek: 3}, {Procedure: "cal-q4", TimesPerWeek: 0.4},
		}},
	)
	return h
}

// forBumps asks for some bumps with four-gas today.
func forBumps(n int64) TakeOrder {
	return TakeOrder{Item: "Q4", Tests: []TestOrder{{"bump-q4", n}}}
}

// open makes a cylinder an opened one with so many bar on a digital gauge, at 21 °C.
func (h *harrowmere) open(tag string, bar float64) {
	h.t.Helper()
	h.alter(tag, func(c *models.Cylinder) {
		c.Stage, c.OpenedOn, c.Pressure, c.PressureSource, c.Gauge, c.Temperature = Opened, "2027-02-01", unit.PressureBar(bar), Measured, "digital", 294_150
	})
}

// expires receives one cylinder whose gas expires on a day.
func (h *harrowmere) expires(lot string, day unit.Date) string {
	h.t.Helper()
	o := q4(lot, 1)
	o.LabelExpiresOn, o.Certificate.ExpiresOn, o.Certificate.Number = day, day, "C-"+lot
	return h.receive(o)[0]
}

func (h *harrowmere) recommend(o TakeOrder) Recommendation {
	h.t.Helper()
	a, err := h.Recommend(h.ctx(), h.people["A"], o)
	if err != nil {
		h.t.Fatal(err)
	}
	return a
}

// take checks a cylinder out for some bumps.
func (h *harrowmere) take(name, tag string, n int64) CheckOutAnswer {
	h.t.Helper()
	a, err := h.CheckOut(h.ctx(), h.act(name), CheckOutOrder{TakeOrder: forBumps(n), Cylinder: tag, Regulator: "R-01", Reasons: map[string]string{"R16": "it is in my hand"}})
	if err != nil {
		h.t.Fatal(err)
	}
	return a
}

func (h *harrowmere) back(name string, o ReturnOrder) ReturnAnswer {
	h.t.Helper()
	a, err := h.Return(h.ctx(), h.act(name), o)
	if err != nil {
		h.t.Fatal(err)
	}
	return a
}

// log records bumps of D-001 and on.
func (h *harrowmere) log(name string, checkout, n int64) {
	h.t.Helper()
	for i := range n {
		o := TestLogOrder{Checkout: checkout, Instrument: fmt.Sprintf("D-%03d", i%14+1), Procedure: "bump-q4", Result: Pass}
		if _, err := h.LogTests(h.ctx(), h.act(name), o); err != nil {
			h.t.Fatal(err)
		}
	}
}

// tasks gives the texts of the jobs that wait for a role.
func (h *harrowmere) tasks(role string) string {
	h.t.Helper()
	rows, err := h.Store.OpenTasks(h.ctx(), role, false)
	if err != nil {
		h.t.Fatal(err)
	}
	var texts []string
	for _, row := range rows {
		texts = append(texts, row.Text)
	}
	return strings.Join(texts, "; ")
}

// entries gives the ledger of a subject, the oldest first: kind, quantity with unit, place and reason.
func (h *harrowmere) entries(subject string) []string {
	h.t.Helper()
	rows, err := h.Store.EntriesOf(h.ctx(), subject, 100)
	if err != nil {
		h.t.Fatal(err)
	}
	var lines []string
	for i := len(rows) - 1; i >= 0; i-- {
		e := rows[i]
		lines = append(lines, strings.TrimSpace(fmt.Sprintf("%s %d %s %s %s", e.Kind, e.Quantity, e.Unit, e.Place, e.Reason)))
	}
	return lines
}

func within(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if got < want*(1-share) || got > want*(1+share) {
		t.Errorf("%s is %g, want %g within %g %%", what, got, want, share*100)
	}
}

// fields fails the test unless an order is refused for exactly these fields, each with its next step.
func (h *harrowmere) fields(err error, want string) {
	h.t.Helper()
	h.wants(err, problem.Invalid, "")
	if got := strings.Join(slices.Sorted(slices.Values(wrongFields(err))), " "); got != want {
		h.t.Errorf("wrong are %s, want %s\n%v", got, want, err)
	}
}

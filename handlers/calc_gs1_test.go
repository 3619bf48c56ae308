package handlers

import (
	"testing"

	"spanroom/internal/auth"
)

// A scan comes through with its separators; what does not conform is an answer, and what is wrong with the question is not.
func TestScanCalculators(t *testing.T) {
	h := newHouse(t, "2026-11-24T09:00:00Z")
	for _, c := range []struct {
		path, body, value string
		want              any
	}{
		{"/calc/scan", `{"syntax":"scan","text":"]C101095212345432131027\u001d21C1"}`, "conforms", true},
		{"/calc/scan", `{"syntax":"bracketed","text":"(17)271345"}`, "problem", "date_month"},
		{"/calc/scan", `{"syntax":"raw","text":"^10LOT"}`, "problem", "requisite"},
		{"/calc/gs1", `{"kind":"date","ai":"17","value":"280200","current_year":2026}`, "date", "2028-02-29"},
		{"/calc/gs1", `{"kind":"date","ai":"17","value":"271345","current_year":2026}`, "refused", true},
		{"/calc/gs1", `{"kind":"check_digit","digits":"416000336109"}`, "valid", false},
		{"/calc/gs1", `{"kind":"weight","ai":"3103","value":"001250"}`, "kg", "1.25"},
	} {
		if answer := h.must(auth.Technician, "POST", c.path, c.body); answer[c.value] != c.want {
			t.Errorf("%s %s: %v", c.path, c.body, answer)
		}
	}
	for path, body := range map[string]string{
		"/calc/scan": `{"syntax":"morse","text":"10"}`,
		"/calc/gs1":  `{"kind":"date","ai":"17","value":"280200"}`,
	} {
		if r := h.call(auth.Technician, "POST", path, body); r.Status != 422 {
			t.Errorf("%s %s: %d %s", path, body, r.Status, r.Text)
		}
	}
}

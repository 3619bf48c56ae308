package stock

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"spanroom/internal/gs1"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

const (
	longestName   = 60
	longestReason = 400
)

// orderReader reads the texts of an order, and gathers what is wrong with them.
type orderReader struct {
	moment
	names receivedNames
	wrong problem.Fields
}

// text tidies a short text and checks that it can be kept and printed.
func (r *orderReader) text(field, typed string, most int) string {
	text := strings.TrimSpace(typed)
	switch n := utf8.RuneCountInString(text); {
	case n > most:
		r.wrong.Add(field, fmt.Sprintf("it has %d characters, more than the %d that fit", n, most), "shorten it")
	case !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl):
		r.wrong.Add(field, "it has characters that cannot be printed", "type it again by hand")
	default:
		return text
	}
	return ""
}

// reasons checks the reasons that answer what a rule asks.
func (r *orderReader) reasons(given map[string]string) {
	for _, rule := range slices.Sorted(maps.Keys(given)) {
		r.text("reasons."+rule, given[rule], longestReason)
	}
}

// quantityOf reads a quantity as typed; one that is not given is 0.
func quantityOf[K ~int64](r *orderReader, field string, typed unit.Typed, parse func(string) (K, error)) K {
	if typed == "" {
		return 0
	}
	value, err := parse(string(typed))
	r.wrong.Take(field, err)
	return value
}

// date reads a date as typed; "" stays.
func (r *orderReader) date(field string, typed unit.Date) unit.Date {
	if strings.TrimSpace(string(typed)) == "" {
		return ""
	}
	if gs1.IsDate(string(typed)) {
		return r.scannedDate(field, string(typed))
	}
	day, err := unit.ParseDate(string(typed))
	r.wrong.Take(field, err)
	return day
}

// past is date for something that has happened already.
func (r *orderReader) past(field string, typed unit.Date) unit.Date {
	day := r.date(field, typed)
	if day > r.today {
		r.wrong.Add(field, fmt.Sprintf("%s is still to come; today is %s", day.Words(), r.today.Words()), "check the day, the month and the year")
	}
	return day
}

// gauge checks the code of a gauge; "" stays.
func (r *orderReader) gauge(field, code string) string {
	code = strings.TrimSpace(code)
	if code == "" || r.settings.KnownGauge(code) {
		return code
	}
	r.wrong.Add(field, fmt.Sprintf("there is no gauge %q", clip(code)), "choose one of: "+strings.Join(r.settings.GaugeCodes(), ", "))
	return ""
}

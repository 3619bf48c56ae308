package views

import (
	"fmt"
	"reflect"
	"time"
)

const dayForPeople = "2 Jan 2006"

// date writes a calendar date for people: 5 Mar 2027. Nothing is "no date", what is no date is given as it stands.
func date(v any) string {
	s := text(v)
	t, isTime := timeOf(v)
	if !isTime {
		var err error
		if t, err = time.Parse(time.DateOnly, s); err != nil && s != "" {
			return s
		}
	}
	if t.IsZero() {
		return "no date"
	}
	return t.Format(dayForPeople)
}

func timeOf(v any) (time.Time, bool) {
	r := plain(v)
	if !r.IsValid() {
		return time.Time{}, false
	}
	t, ok := r.Interface().(time.Time)
	return t, ok
}

// moment reads a time.Time, Unix milliseconds or RFC 3339 text; the zero time is none.
func moment(v any) (time.Time, error) {
	if t, ok := timeOf(v); ok {
		return t, nil
	}
	switch r := plain(v); {
	case !r.IsValid(), r.IsZero():
		return time.Time{}, nil
	case r.CanInt():
		return time.UnixMilli(r.Int()), nil
	case r.Kind() == reflect.String:
		return time.Parse(time.RFC3339, r.String())
	default:
		return time.Time{}, fmt.Errorf("%T is no moment", v)
	}
}

// when writes a moment for people in the store's zone: 5 Mar 2027 07:12.
func when(p Page, v any) string {
	t, err := moment(v)
	switch {
	case err != nil:
		return text(v)
	case t.IsZero():
		return "no time"
	default:
		return t.In(p.zone()).Format(dayForPeople + " 15:04")
	}
}

package problem

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
)

func TestErrorTellsDetailFieldsAndFindings(t *testing.T) {
	e := New(Invalid, "two fields are wrong", "correct them")
	e.Fields = []Field{{Name: "lot", Text: "it is empty"}, {Name: "certificate.values.1.amount", Text: "it has no unit"}}
	e.Findings = []Finding{{Rule: "R21", Severity: Stop, Text: "the outlets differ"}}
	want := "two fields are wrong; lot: it is empty; certificate.values.1.amount: it has no unit; R21 stop: the outlets differ"
	if e.Error() != want {
		t.Errorf("got  %s\nwant %s", e, want)
	}
}

func TestKindOfLooksThroughWrapping(t *testing.T) {
	for _, c := range []struct {
		err  error
		want Kind
	}{
		{nil, ""},
		{errors.New("the disk is full"), ""},
		{NotFound("lot", "7K-2206"), Missing},
		{fmt.Errorf("receive: %w", Stale("cylinder", "7F3K-2", 4, 3)), Conflict},
		{errors.Join(errors.New("first"), New(TooMany, "ten attempts", "wait a minute")), TooMany},
	} {
		if got := KindOf(c.err); got != c.want {
			t.Errorf("%v: got %q, want %q", c.err, got, c.want)
		}
	}
}

func TestReadyMadeFailuresNameTheThingAndTheNextStep(t *testing.T) {
	for _, c := range []struct {
		err   *Error
		names []string
	}{
		{NotFound("lot", "7K-2206"), []string{"lot", "7K-2206"}},
		{Stale("cylinder", "7F3K-2", 4, 3), []string{"cylinder", "7F3K-2", "version 4 now", "version 3"}},
	} {
		for _, name := range c.names {
			if !strings.Contains(c.err.Detail, name) {
				t.Errorf("%q does not name %q", c.err.Detail, name)
			}
		}
		if c.err.Advice == "" {
			t.Errorf("%q has no next step", c.err.Detail)
		}
	}
}

func TestFieldsGatherEverythingAtOnce(t *testing.T) {
	var fields Fields
	if fields.Err() != nil {
		t.Fatal("no field is wrong, and there is an error")
	}
	if !fields.Take("lot", nil) || len(fields) != 0 {
		t.Fatal("no error is taken for one")
	}
	fields.Add("counted", "it is below one", "count again")
	var inner Fields
	inner.Add("amount", "it has no unit", "say ppm")
	inner.Add("", "the sum is above 100 %", "check the values")
	for name, err := range map[string]error{
		"certificate": inner.Err(),
		"pressure":    fmt.Errorf("cylinder: %w", New(Invalid, `"69" has no unit`, "say the unit")),
		"place":       errors.New("unreadable"),
	} {
		if fields.Take(name, err) {
			t.Errorf("%s: an error is taken for none", name)
		}
	}
	slices.SortFunc(fields, func(a, b Field) int { return strings.Compare(a.Name, b.Name) })
	want := Fields{
		{"certificate", "the sum is above 100 %", "check the values"}, {"certificate.amount", "it has no unit", "say ppm"},
		{"counted", "it is below one", "count again"}, {"place", "unreadable", ""}, {"pressure", `"69" has no unit`, "say the unit"},
	}
	if !slices.Equal(fields, want) {
		t.Errorf("got  %v\nwant %v", fields, want)
	}
	err := fields.Err()
	var e *Error
	if !errors.As(err, &e) || e.Kind != Invalid || !strings.Contains(e.Detail, "5 fields") || e.Advice == "" || len(e.Fields) != 5 {
		t.Errorf("the failure is %#v", err)
	}
	if one := fields[:1].Err(); !strings.HasPrefix(one.Error(), "one field is wrong") {
		t.Errorf("one field: %v", one)
	}
}

func TestFieldsWithoutAPrefixKeepTheirNames(t *testing.T) {
	var inner, outer Fields
	inner.Add("lot", "it is empty", "")
	outer.Take("", inner.Err())
	if len(outer) != 1 || outer[0].Name != "lot" {
		t.Errorf("got %v", outer)
	}
}

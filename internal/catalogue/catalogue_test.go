package catalogue_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
)

var (
	morning = time.Date(2027, 3, 3, 8, 0, 0, 0, time.UTC)
	ada     = auth.Act{By: auth.Person{Name: "Ada", Role: auth.Supervisor}, Request: "r1"}
)

// newRoom gives a room that has been started and knows a supplier, a place and a blend.
func newRoom(t *testing.T, s *store.Store) catalogue.Room {
	t.Helper()
	r := catalogue.Room{Store: s, Now: func() time.Time { return morning }}
	if err := r.Start(t.Context(), ada); err != nil {
		t.Fatal(err)
	}
	for _, order := range []catalogue.Order{
		&catalogue.Supplier{Code: "northbank", Name: "Northbank Gases", LeadTimeDays: 42, LeadTimeSDDays: 8},
		&catalogue.Place{Code: "BENCH", Name: "Bench", Kind: "bench"},
		&catalogue.Blend{Code: "ZA", Name: "zero air", Balance: "air"},
	} {
		made(t, r, order)
	}
	return r
}

func made(t *testing.T, r catalogue.Room, order catalogue.Order) catalogue.Order {
	t.Helper()
	answer, err := r.Make(t.Context(), ada, order)
	if err != nil {
		t.Fatalf("%s: %v", asJSON(t, order), err)
	}
	return answer
}

func changed(t *testing.T, r catalogue.Room, code string, order catalogue.Order) catalogue.Order {
	t.Helper()
	answer, err := r.Change(t.Context(), ada, code, order)
	if err != nil {
		t.Fatalf("%s: %v", asJSON(t, order), err)
	}
	return answer
}

func nounAt(t testing.TB, plural string) catalogue.Noun {
	t.Helper()
	n, ok := catalogue.NounAt(plural)
	if !ok {
		t.Fatalf("no noun at %q", plural)
	}
	return n
}

// orderOf reads JSON into an order of a noun as strictly as the border does.
func orderOf(t testing.TB, plural, text string) catalogue.Order {
	t.Helper()
	order := nounAt(t, plural).New()
	dec := json.NewDecoder(bytes.NewReader([]byte(text)))
	dec.DisallowUnknownFields()
	if err := dec.Decode(order); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return order
}

func asJSON(t testing.TB, order any) string {
	t.Helper()
	text, err := json.Marshal(order)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func problemOf(t testing.TB, err error) *problem.Error {
	t.Helper()
	var e *problem.Error
	if !errors.As(err, &e) {
		t.Fatalf("not a problem: %v", err)
	}
	return e
}

func versionOf(t testing.TB, order catalogue.Order) int64 {
	t.Helper()
	var v struct{ Version int64 }
	if err := json.Unmarshal([]byte(asJSON(t, order)), &v); err != nil {
		t.Fatal(err)
	}
	return v.Version
}

func entriesOf(ctx context.Context, t testing.TB, s *store.Store, subject string) int {
	t.Helper()
	entries, err := s.EntriesOf(ctx, subject, 100)
	if err != nil {
		t.Fatal(err)
	}
	return len(entries)
}

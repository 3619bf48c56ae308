package catalogue_test

import (
	"errors"
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

// amended changes an instrument in a transaction of its own.
func amended(t *testing.T, r catalogue.Room, noun, code string, edit func(catalogue.Order)) error {
	t.Helper()
	return r.Store.Tx(t.Context(), func(tx *store.Store) error { return r.Amend(t.Context(), tx, ada, noun, code, edit) })
}

func confirm(day unit.Date) func(catalogue.Order) {
	return func(o catalogue.Order) { o.(*catalogue.Instrument).SetValuesConfirmedOn = day }
}

func TestAmendMakesAVersionInTheTransactionAtHand(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := testingRoom(t, s)
		made(t, r, &catalogue.Instrument{Code: "D-1", Model: "M4", SetValuesConfirmedOn: "2027-01-01", Note: "keeps"})
		if err := amended(t, r, "instrument", "D-1", confirm("2027-03-03")); err != nil {
			t.Fatal(err)
		}
		got, err := r.Get(t.Context(), nounAt(t, "instruments"), "D-1")
		if err != nil {
			t.Fatal(err)
		}
		if i := got.(*catalogue.Instrument); i.Version != 2 || i.SetValuesConfirmedOn != "2027-03-03" || i.Note != "keeps" || i.Model != "M4" {
			t.Errorf("%+v", i)
		}
		entries, err := s.EntriesOf(t.Context(), "catalogue:instrument:D-1", 10)
		if err != nil || len(entries) != 2 || entries[0].Before != entries[1].After || entries[0].ByName != "Ada" || entries[0].Kind != "catalogue" {
			t.Errorf("%+v, %v", entries, err)
		}
		if v, err := s.Verify(t.Context()); err != nil || !v.Sound() {
			t.Errorf("%+v, %v", v, err)
		}
	})
}

// Two edits in one transaction see each other, and what fails after them takes both back.
func TestAmendGoesWithItsTransaction(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := testingRoom(t, s)
		made(t, r, &catalogue.Instrument{Code: "D-1", Model: "M4", SetValuesConfirmedOn: "2027-01-01"})
		fell := errors.New("it fell")
		err := s.Tx(t.Context(), func(tx *store.Store) error {
			for _, day := range []unit.Date{"2027-02-01", "2027-03-01"} {
				if err := r.Amend(t.Context(), tx, ada, "instrument", "D-1", confirm(day)); err != nil {
					return err
				}
			}
			if v, _, err := tx.LatestVersion(t.Context(), "instrument", "D-1"); err != nil || v.Version != 3 {
				t.Errorf("%+v, %v", v, err)
			}
			return fell
		})
		if !errors.Is(err, fell) {
			t.Error(err)
		}
		if v, _, err := s.LatestVersion(t.Context(), "instrument", "D-1"); err != nil || v.Version != 1 {
			t.Errorf("%+v, %v", v, err)
		}
	})
}

func TestAmendThatChangesNothingOrIsRefused(t *testing.T) {
	s := storetest.New(t)
	r := testingRoom(t, s)
	made(t, r, &catalogue.Instrument{Code: "D-1", Model: "M4", SetValuesConfirmedOn: "2027-03-03", SetValues: []catalogue.SetValue{{Component: "CO", SetValue: "98 ppm"}}})
	if err := amended(t, r, "instrument", "D-1", confirm("2027-03-03")); err != nil {
		t.Error(err)
	}
	err := amended(t, r, "instrument", "D-1", confirm("2027-03-04"))
	e := problemOf(t, err)
	if e.Kind != problem.Conflict || !strings.Contains(e.Detail, "instrument D-1 cannot be changed") || !strings.Contains(e.Detail, "still to come") || e.Advice == "" || len(e.Fields) != 0 {
		t.Errorf("%+v", e)
	}
	if err := amended(t, r, "instrument", "D-2", confirm("2027-03-03")); problem.KindOf(err) != problem.Missing {
		t.Errorf("%v", err)
	}
	if err := amended(t, r, "person", "Ada", confirm("2027-03-03")); err == nil || problem.KindOf(err) != "" {
		t.Errorf("%v", err)
	}
	if n := entriesOf(t.Context(), t, s, "catalogue:instrument:D-1"); n != 1 {
		t.Errorf("%d entries", n)
	}
}

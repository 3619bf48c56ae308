package store_test

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

// A store that is seeded behaves as any other: transactions stand alone, answers are kept, and the ledger holds.
func TestSeedLivesThroughUseCases(t *testing.T) {
	path := filepath.Join(t.TempDir(), "seeded.db")
	ada := models.Person{Name: "Ada", Role: "clerk"}
	err := store.Seed(t.Context(), path, func(s *store.Store) error {
		write(t, s, func(tx *store.Store) error { return tx.AddPerson(t.Context(), &ada) })
		for range 2 {
			if got, err := takeOne(t, s, store.Key{Person: ada.ID, Key: "k", Hash: "h"}); err != nil || got.Seq != 1 {
				t.Errorf("%+v, %v", got, err)
			}
		}
		failed := s.Tx(t.Context(), func(tx *store.Store) error { return errors.Join(note(t, tx, "lot:2"), errOnPurpose) })
		if !errors.Is(failed, errOnPurpose) {
			t.Errorf("answered %v", failed)
		}
		write(t, s, func(tx *store.Store) error { return note(t, tx, "lot:3") })
		if got := subjects(t, s); !slices.Equal(got, []string{"lot:1", "lot:3"}) {
			t.Errorf("it reads %v", got)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	s := storetest.Open(t, path)
	write(t, s, func(tx *store.Store) error { return note(t, tx, "lot:4") })
	if got := subjects(t, s); !slices.Equal(got, []string{"lot:1", "lot:3", "lot:4"}) {
		t.Errorf("kept %v", got)
	}
	if v, err := s.Verify(t.Context()); err != nil || !v.Sound() {
		t.Errorf("%+v, %v", v, err)
	}
}

func TestSeedThatFailsKeepsNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "seeded.db")
	err := store.Seed(t.Context(), path, func(s *store.Store) error {
		write(t, s, func(tx *store.Store) error { return note(t, tx, "lot:1") })
		return errOnPurpose
	})
	if !errors.Is(err, errOnPurpose) {
		t.Errorf("answered %v", err)
	}
	if got := subjects(t, storetest.Open(t, path)); len(got) != 0 {
		t.Errorf("kept %v", got)
	}
}

func TestSeedRefusesAnExistingFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "live.db")
	s, _ := stock(t, path)
	err := store.Seed(t.Context(), path, func(*store.Store) error { t.Error("it began"); return nil })
	if err == nil || !strings.Contains(err.Error(), "exists already") || head(t, s).Seq != 7 {
		t.Errorf("%v, head %+v", err, head(t, s))
	}
}

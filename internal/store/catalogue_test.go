package store_test

import (
	"errors"
	"fmt"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

// putPlace writes a place over the version that was read, or a new one over 0.
func putPlace(t *testing.T, s *store.Store, code, name string, had int64) (id int64, err error) {
	t.Helper()
	err = s.Tx(t.Context(), func(tx *store.Store) error {
		place := models.Place{Code: code, Name: name, Version: had + 1, Kind: "shelf"}
		if id, err = tx.PutCatalogueRow(t.Context(), "place", code, had, &place); err != nil {
			return err
		}
		return tx.AddVersion(t.Context(), models.Version{Noun: "place", Code: code, Version: had + 1, Doc: fmt.Sprintf(`{"name":%q}`, name), RecordedAt: 1, ByName: "Ada"})
	})
	return id, err
}

func TestCatalogueRowKeepsItsID(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		first, err := putPlace(t, s, "CAGE", "Cage", 0)
		if err != nil {
			t.Fatal(err)
		}
		second, err := putPlace(t, s, "CAGE", "Outdoor cage", 1)
		if err != nil || second != first {
			t.Errorf("id %d, then %d, %v", first, second, err)
		}
		if row, err := s.PlaceByCode(t.Context(), "CAGE"); err != nil || row != (models.Place{ID: first, Code: "CAGE", Name: "Outdoor cage", Version: 2, Kind: "shelf"}) {
			t.Errorf("%+v, %v", row, err)
		}
	})
}

func TestCatalogueConflicts(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		if _, err := putPlace(t, s, "CAGE", "Cage", 0); err != nil {
			t.Fatal(err)
		}
		tests := []struct {
			name, code string
			had        int64
		}{
			{"the same code", "CAGE", 0},
			{"the same code in another case", "cage", 0},
			{"a version that is past", "CAGE", 5},
			{"a row that is not there", "SHELF", 1},
		}
		for _, tt := range tests {
			if _, err := putPlace(t, s, tt.code, "Other", tt.had); problem.KindOf(err) != problem.Conflict {
				t.Errorf("%s: %v", tt.name, err)
			}
		}
		if rows, err := s.CatalogueNames(t.Context(), "place"); err != nil || len(rows) != 1 || rows[0].Name != "Cage" {
			t.Errorf("%+v, %v", rows, err)
		}
	})
}

func TestCatalogueCodes(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		id, err := putPlace(t, s, "CAGE", "Outdoor cage", 0)
		if err != nil {
			t.Fatal(err)
		}
		tests := []struct {
			text           string
			id             int64
			like, sameCode string
		}{
			{"CAGE", id, "CAGE", "CAGE"},
			{"cage", 0, "CAGE", "CAGE"},
			{"outdoor CAGE", 0, "CAGE", ""},
			{"shelf", 0, "", ""},
		}
		for _, tt := range tests {
			got, err1 := s.CatalogueID(t.Context(), "place", tt.text)
			like, err2 := s.CatalogueLike(t.Context(), "place", tt.text)
			code, err3 := s.CatalogueCode(t.Context(), "place", tt.text)
			if err := errors.Join(err1, err2, err3); err != nil || got != tt.id || like != tt.like || code != tt.sameCode {
				t.Errorf("%q: %d, %q, %q, %v", tt.text, got, like, code, err)
			}
		}
		if codes, err := s.PlaceCodes(t.Context()); err != nil || codes[id] != "CAGE" {
			t.Errorf("%v, %v", codes, err)
		}
		if _, err := s.CatalogueID(t.Context(), "person", "Ada"); err == nil || problem.KindOf(err) != "" {
			t.Errorf("a noun without a table: %v", err)
		}
	})
}

func TestVersionsAreReadNewestFirst(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		for had, name := range []string{"one", "two", "three"} {
			if _, err := putPlace(t, s, "CAGE", name, int64(had)); err != nil {
				t.Fatal(err)
			}
		}
		latest, known, err := s.LatestVersion(t.Context(), "place", "CAGE")
		if err != nil || !known || latest.Version != 3 || latest.Doc != `{"name":"three"}` {
			t.Errorf("%+v, %v", latest, err)
		}
		if _, known, err := s.LatestVersion(t.Context(), "place", "cage"); known || err != nil {
			t.Errorf("another code is known: %v, %v", known, err)
		}
		old, err := s.VersionOf(t.Context(), "place", "CAGE", 1)
		if err != nil || old.Doc != `{"name":"one"}` {
			t.Errorf("%+v, %v", old, err)
		}
		all, err := s.VersionsOf(t.Context(), "place", "CAGE")
		if err != nil || len(all) != 3 || all[0].Version != 3 || all[2].Version != 1 {
			t.Errorf("%+v, %v", all, err)
		}
		list, err := s.LatestVersions(t.Context(), "place", "", 0)
		if err != nil || len(list) != 1 || list[0].Version != 3 {
			t.Errorf("%+v, %v", list, err)
		}
	})
}

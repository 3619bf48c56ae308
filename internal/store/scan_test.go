package store_test

import (
	"slices"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

func TestCodesAlike(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		exec(t, db, `INSERT INTO rounds (id, code, name, version) VALUES (101, 'cage', 'the cage', 1), (102, 'x%_', '', 1)`)
		nouns := []string{"round", "place", "item", "supplier"}
		for text, want := range map[string][]store.Coded{
			"cage":      {{Noun: "round", Code: "cage", Name: "the cage"}, {Noun: "place", Code: "CAGE", Name: "Outdoor cage"}},
			"q4":        {{Noun: "item", Code: "Q4", Name: "four-gas"}},
			"NORTHBANK": {{Noun: "supplier", Code: "northbank", Name: "Northbank Gases"}},
			"CAG":       nil, "%": nil, "": nil, "Q4 ": nil, "é'": nil,
		} {
			if got, err := s.CodesAlike(t.Context(), nouns, text); err != nil || !slices.Equal(got, want) {
				t.Errorf("%q: %+v, %v", text, got, err)
			}
		}
		if _, err := s.CodesAlike(t.Context(), []string{"pallet"}, "Q4"); err == nil {
			t.Error("a noun that there is not is looked for")
		}
	})
}

func TestWhatALabelNames(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		exec(t, db,
			`INSERT INTO suppliers (id, code, name, version, lead_days, lead_sd_days) VALUES (102, 'ferrow', 'Ferrow Specialty', 1, 42, 8)`,
			`INSERT INTO lots (id, supplier_id, blend_id, lot, lot_key, filled_on, assayed_on, label_expires_on, received_at, version)
				VALUES (102, 102, 101, '7k2206', '7K2206', '', '', '', 2, 1)`,
			`UPDATE cylinders SET serial = 'NB-1'`)
		lots, err := s.LotsOfKey(t.Context(), "7K2206")
		if want := []store.LotOf{{"7K-2206", 101, "Northbank Gases"}, {"7k2206", 102, "Ferrow Specialty"}}; err != nil || !slices.Equal(lots, want) {
			t.Errorf("%+v, %v", lots, err)
		}
		cylinders, err := s.CylindersOfSerial(t.Context(), "NB-1")
		if want := []store.SerialOf{{unit.Tag("2222-222A"), "7K2206", 101}, {unit.Tag("3333-333B"), "7K2206", 101}}; err != nil || !slices.Equal(cylinders, want) {
			t.Errorf("%+v, %v", cylinders, err)
		}
		write(t, s, func(tx *store.Store) error {
			return tx.PutSources(t.Context(), gas4, []models.Source{{SupplierID: 102, GTIN: "09521234543213", Currency: "EUR", Pack: 1, MOQ: 1}, {SupplierID: 101, GTIN: "09521234543213", Currency: "EUR", Pack: 1, MOQ: 1}})
		})
		articles, err := s.ArticlesOfGTIN(t.Context(), "09521234543213")
		if want := []store.ArticleOf{{"Q4", 102, "ferrow"}, {"Q4", 101, "northbank"}}; err != nil || !slices.Equal(articles, want) {
			t.Errorf("%+v, %v", articles, err)
		}
		if none, err := s.ArticlesOfGTIN(t.Context(), "9521234543213"); err != nil || len(none) > 0 {
			t.Errorf("a short form is %+v, %v", none, err)
		}
	})
}

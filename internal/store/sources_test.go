package store_test

import (
	"context"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

func TestSourcesKeepTheRowOfASupplierThatStays(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		item, suppliers := buying(t, s)
		put := func(rows ...models.Source) []store.SourceOf {
			write(t, s, func(tx *store.Store) error { return tx.PutSources(t.Context(), item, rows) })
			sources, err := s.SourcesOf(t.Context(), item)
			if err != nil || len(sources) != len(rows) {
				t.Fatalf("%+v, %v", sources, err)
			}
			return sources
		}
		north := models.Source{SupplierID: suppliers["northbank"], Article: "00417", GTIN: "09521234543213", Pack: 1, MOQ: 6, PriceMinor: 7800, Currency: "EUR"}
		ferrow := models.Source{SupplierID: suppliers["ferrow"], Pack: 10, MOQ: 10, Currency: "EUR"}
		first := put(north, ferrow)
		if s := first[0]; s.Supplier != "northbank" || s.LeadDays != 42 || s.Article != "00417" || s.PriceMinor != 7800 || first[1].Supplier != "ferrow" {
			t.Errorf("%+v", first)
		}
		north.MOQ, north.GTIN = 12, "00000095200000"
		second := put(ferrow, north)
		if second[1].ID != first[0].ID || second[1].MOQ != 12 || first[0].GTIN != "09521234543213" || second[1].GTIN != "00000095200000" || second[0].ID != first[1].ID {
			t.Errorf("%+v became %+v", first, second)
		}
		if last := put(north); last[0].ID != first[0].ID {
			t.Errorf("%+v", last)
		}
		all, err := s.AllSources(t.Context())
		if err != nil || len(all) != 1 || len(all[item]) != 1 {
			t.Errorf("%+v, %v", all, err)
		}
		put()
	})
}

// buying makes an item and two suppliers.
func buying(t *testing.T, s *store.Store) (item int64, suppliers map[string]int64) {
	t.Helper()
	suppliers = map[string]int64{}
	write(t, s, func(tx *store.Store) error {
		for _, code := range []string{"northbank", "ferrow"} {
			id, err := tx.PutCatalogueRow(t.Context(), "supplier", code, 0, &models.Supplier{Code: code, Name: code, Version: 1, LeadDays: 42})
			if err != nil {
				return err
			}
			suppliers[code] = id
		}
		var err error
		item, err = putFilter(t.Context(), tx)
		return err
	})
	return item, suppliers
}

func putFilter(ctx context.Context, tx *store.Store) (int64, error) {
	return tx.PutCatalogueRow(ctx, "item", "F", 0, &models.Item{Code: "F", Name: "F", Version: 1, Kind: "filter", CountedIn: "each"})
}

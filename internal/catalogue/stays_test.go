package catalogue_test

import (
	"slices"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

// An item may become anything until goods come in; after that its cylinders would be counted as what they are not.
func TestAnItemInStockStaysWhatItIs(t *testing.T) {
	const (
		gas    = `{"kind":"gas","blend":"ZA","water_volume":"1 L","fill_pressure":"69 bar","outlet":"C-10"}`
		other  = `{"kind":"gas","blend":"ZB","water_volume":"1 L","fill_pressure":"69 bar","outlet":"C-10"}`
		larger = `{"kind":"gas","blend":"ZA","water_volume":"1.7 L","fill_pressure":"69 bar","outlet":"C-10"}`
		capped = `{"kind":"cap"}`
		each   = `{"kind":"tubing"}`
		metres = `{"kind":"tubing","counted_in":"m"}`
	)
	tests := []struct {
		name, before, after string
		wrong               []string
	}{
		{"gas to a cap", gas, capped, []string{"kind", "counted_in"}},
		{"another blend", gas, other, []string{"blend"}},
		{"metres to pieces", metres, each, []string{"counted_in"}},
		{"another size", gas, larger, nil},
	}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := newRoom(t, s)
		made(t, r, &catalogue.Blend{Code: "ZB", Balance: "N2"})
		for _, stocked := range []bool{false, true} {
			for i, tt := range tests {
				code := string(rune('A'+i)) + map[bool]string{false: "-none", true: "-some"}[stocked]
				order := orderOf(t, "items", tt.before).(*catalogue.Item)
				order.Code = code
				made(t, r, order)
				if stocked {
					receiveOne(t, s, code)
				}
				_, err := r.Change(t.Context(), ada, code, orderOf(t, "items", tt.after))
				if !stocked || tt.wrong == nil {
					if err != nil {
						t.Errorf("%s, stocked %v: %v", tt.name, stocked, err)
					}
					continue
				}
				var fields []string
				e := problemOf(t, err)
				for _, f := range e.Fields {
					fields = append(fields, f.Name)
				}
				if e.Kind != problem.Invalid || !slices.Equal(fields, tt.wrong) {
					t.Errorf("%s: %s %v, want %v", tt.name, e.Kind, fields, tt.wrong)
				}
			}
		}
	})
}

// receiveOne books one of an item in.
func receiveOne(t *testing.T, s *store.Store, code string) {
	t.Helper()
	err := s.Tx(t.Context(), func(tx *store.Store) error {
		item, err := tx.ItemByCode(t.Context(), code)
		if err != nil {
			return err
		}
		supplier, err := tx.SupplierByCode(t.Context(), "northbank")
		if err != nil {
			return err
		}
		place, err := tx.PlaceByCode(t.Context(), "BENCH")
		if err != nil {
			return err
		}
		return tx.AddReceipt(t.Context(), &models.Receipt{
			SupplierID: supplier.ID, ItemID: item.ID, PlaceID: place.ID, Quantity: 1, CountedIn: item.CountedIn, Typed: "{}", Findings: "[]", ReceivedAt: 1, ByName: "Ada",
		})
	})
	if err != nil {
		t.Fatal(err)
	}
}

package store_test

import (
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

// mixing makes the components CO, H2S and N2 and a blend of them, and gives their ids.
func mixing(t *testing.T, s *store.Store, balance string) (blend int64, gases map[string]int64) {
	t.Helper()
	gases = map[string]int64{}
	six := int64(6)
	write(t, s, func(tx *store.Store) error {
		for _, code := range []string{"CO", "H2S", "N2"} {
			id, err := tx.PutCatalogueRow(t.Context(), "component", code, 0, &models.Component{Code: code, Name: code, Formula: code, Version: 1, FallbackMonths: &six, Adsorbs: code == "H2S"})
			if err != nil {
				return err
			}
			gases[code] = id
		}
		var err error
		blend, err = tx.PutCatalogueRow(t.Context(), "blend", "B", 0, &models.Blend{Code: "B", Name: "B", Version: 1, Balance: balance})
		return err
	})
	return blend, gases
}

func TestBlendComponentsAreReplaced(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		blend, gases := mixing(t, s, "N2")
		put := func(rows ...models.BlendComponent) {
			write(t, s, func(tx *store.Store) error { return tx.PutBlendComponents(t.Context(), blend, rows) })
		}
		put(models.BlendComponent{ComponentID: gases["CO"], Amount: 100_000}, models.BlendComponent{ComponentID: gases["N2"], Amount: 1})
		put(models.BlendComponent{ComponentID: gases["H2S"], Amount: 25_000, Tolerance: 500}, models.BlendComponent{ComponentID: gases["CO"], Amount: 50_000})
		parts, err := s.BlendComponents(t.Context(), blend)
		if err != nil || len(parts) != 2 {
			t.Fatalf("%+v, %v", parts, err)
		}
		h2s := parts[0]
		if h2s.Code != "H2S" || h2s.Amount != 25_000 || h2s.Tolerance != 500 || !h2s.Adsorbs || *h2s.FallbackMonths != 6 || h2s.CapMonths != nil || h2s.Balance {
			t.Errorf("%+v", h2s)
		}
		if parts[1].ComponentID != gases["CO"] || parts[1].Amount != 50_000 {
			t.Errorf("%+v", parts[1])
		}
		put()
		if parts, err := s.BlendComponents(t.Context(), blend); err != nil || len(parts) != 0 {
			t.Errorf("%+v, %v", parts, err)
		}
	})
}

func TestBlendWholeMakesTheWhole(t *testing.T) {
	tests := []struct {
		balance string
		amounts []unit.Amount // of CO and H2S
		rest    unit.Amount
		parts   int
	}{
		{"N2", []unit.Amount{100_000, 25_000}, 999_875_000, 3},
		{"N2", nil, 1_000_000_000, 1},
		{"", []unit.Amount{1_000_000_000}, 0, 1},
		{"N2", []unit.Amount{600_000_000, 400_000_000}, 0, 3},
	}
	for _, tt := range tests {
		s := storetest.New(t)
		blend, gases := mixing(t, s, tt.balance)
		var rows []models.BlendComponent
		for i, a := range tt.amounts {
			rows = append(rows, models.BlendComponent{ComponentID: gases[[]string{"CO", "H2S"}[i]], Amount: a})
		}
		write(t, s, func(tx *store.Store) error { return tx.PutBlendComponents(t.Context(), blend, rows) })
		parts, err := s.BlendWhole(t.Context(), blend)
		if err != nil || len(parts) != tt.parts {
			t.Fatalf("%+v, %v", parts, err)
		}
		last := parts[len(parts)-1]
		if last.Balance != (tt.balance != "") || last.Balance && (last.Amount != tt.rest || last.Code != "N2" || *last.FallbackMonths != 6) {
			t.Errorf("%v in %q: %+v", tt.amounts, tt.balance, last)
		}
	}
}

package store_test

import (
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

func TestAddBalanceRefusesWhatIsNotThere(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, _ := stock(t, address)
		for name, tt := range map[string]struct {
			place    int64
			quantity int64
			want     problem.Kind
		}{
			"more than there is": {cage, -23, problem.Invalid},
			"none there":         {van, -1, problem.Conflict},
		} {
			err := s.Tx(t.Context(), func(tx *store.Store) error {
				return tx.AddBalance(t.Context(), caps, tt.place, models.Entry{Kind: "issue", Subject: "item:CAP-S", Quantity: tt.quantity})
			})
			if problem.KindOf(err) != tt.want {
				t.Errorf("%s: %v", name, err)
			}
		}
		left, err := s.Balance(t.Context(), caps, cage)
		rows, err2 := s.Balances(t.Context(), caps)
		if err != nil || err2 != nil || left != 22 || len(rows) != 1 || rows[0].Quantity != 22 {
			t.Errorf("%d left, rows %+v, %v, %v", left, rows, err, err2)
		}
	})
}

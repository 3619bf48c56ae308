package stock

import (
	"encoding/json"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

func TestLedgerPartByPart(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		tag := h.receive(q4("7K-2206", 1))[0]
		last, err := h.LastEntry(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		var seen, previous = int64(0), ""
		for next, n := int64(0), 0; n == 0 || next != 0; n++ {
			part, err := h.Ledger(t.Context(), LedgerQuestion{After: next, Limit: 7})
			if err != nil {
				t.Fatal(err)
			}
			for _, e := range part.Rows {
				if e.Seq != seen+1 || e.PreviousHash != previous || e.Hash == "" {
					t.Fatalf("entry %+v does not follow %d", e, seen)
				}
				seen, previous = e.Seq, e.Hash
			}
			next = part.Next
		}
		if seen != last {
			t.Errorf("read to %d of %d", seen, last)
		}
		about, err := h.Ledger(t.Context(), LedgerQuestion{Subject: "cylinder:" + tag})
		if err != nil || len(about.Rows) != 1 || about.Next != 0 || about.Rows[0].Quantity != 1 {
			t.Fatalf("%+v %v", about, err)
		}
		var state struct {
			Tag string `json:"tag"`
		}
		if err := json.Unmarshal(about.Rows[0].After, &state); err != nil || state.Tag != tag || about.Rows[0].Before != nil {
			t.Errorf("%s %v", about.Rows[0].After, err)
		}
	})
}

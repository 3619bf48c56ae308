package stock

import (
	"slices"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

// However the ledger is cut into parts, each entry is in exactly one of them, and both sides of a move in the same.
func TestLedgerPartsNeverCutAMove(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		tags := h.receive(q4("7K-2206", 2))
		for range 3 {
			for _, place := range []string{"VAN-1", "CAGE"} {
				if _, err := h.Move(h.ctx(), h.act("clerk"), MoveOrder{Tag: tags[0], Place: place}); err != nil {
					t.Fatal(err)
				}
			}
		}
		last, err := h.LastEntry(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for _, subject := range []string{"", "cylinder:" + tags[0]} {
			want := h.seqs(LedgerQuestion{Subject: subject, Limit: int(last)})
			for limit := 1; limit <= 6; limit++ {
				var got []int64
				for next, begun := int64(0), false; !begun || next != 0; begun = true {
					part, err := h.LedgerPart(t.Context(), LedgerQuestion{Subject: subject, After: next, Limit: limit})
					if err != nil {
						t.Fatal(err)
					}
					for _, line := range part.Lines {
						if e := line.Entries; line.What == "moved" && (len(e) != 2 || e[0].Quantity != -1 || e[1].Quantity != 1) {
							t.Fatalf("half a move: %+v", line)
						}
						for _, e := range line.Entries {
							got = append(got, e.Seq)
						}
					}
					next = part.Next
				}
				if !slices.Equal(got, want) {
					t.Errorf("%q by %d: %v, want %v", subject, limit, got, want)
				}
			}
		}
	})
}

// A person goes back through the ledger by the numbers of entries, and may arrive in the middle of a move.
func TestLedgerPartsMeetWhenReadBackwards(t *testing.T) {
	entry := func(seq, quantity int64) models.Entry {
		return models.Entry{Seq: seq, Kind: "move", Subject: "cylinder:2222-222A", Quantity: quantity, Unit: "cylinder"}
	}
	all := []models.Entry{entry(1, -1), entry(2, 1), entry(3, -1), entry(4, 1), entry(5, 0), entry(6, -1), entry(7, 1)}
	for limit := int64(1); limit < 7; limit++ {
		var got []int64
		for after := int64(7); after > 0; {
			size := min(limit, after)
			after -= size
			from := max(0, after-1)
			part, _ := partOf(all[from:min(7, from+size+3)], LedgerQuestion{After: after, Limit: int(size)})
			if len(part) == 0 {
				t.Fatalf("%d after %d: nothing", size, after)
			}
			var seqs []int64
			for _, e := range part {
				seqs = append(seqs, e.Seq)
			}
			got = append(seqs, got...)
		}
		if limit == 1 { // no room for a move: it is shown from both its sides
			slices.Sort(got)
			got = slices.Compact(got)
		}
		if !slices.Equal(got, []int64{1, 2, 3, 4, 5, 6, 7}) {
			t.Errorf("by %d: %v", limit, got)
		}
	}
}

func (h *harrowmere) seqs(q LedgerQuestion) (seqs []int64) {
	h.t.Helper()
	answer, err := h.Ledger(h.ctx(), q)
	if err != nil {
		h.t.Fatal(err)
	}
	for _, e := range answer.Rows {
		seqs = append(seqs, e.Seq)
	}
	return seqs
}

func TestDeedsInWords(t *testing.T) {
	cylinder := func(kind string, seq, quantity int64, place string) models.Entry {
		return models.Entry{Seq: seq, Kind: kind, Subject: "cylinder:2222-222A", Quantity: quantity, Unit: "cylinder", Place: place}
	}
	reading := cylinder("reading", 7, 0, "BENCH")
	reading.Before, reading.After = `{"pressure_pa":6900000,"pressure_source":"fill"}`, `{"pressure_pa":6200000,"pressure_source":"measured"}`
	for _, c := range []struct {
		entries []models.Entry
		want    LedgerDeed
	}{
		{[]models.Entry{cylinder("check_out", 1, -1, "CAGE"), cylinder("check_out", 2, 1, "person:A")}, LedgerDeed{What: "taken", Where: "CAGE → A"}},
		{[]models.Entry{cylinder("return", 1, -1, "person:A"), cylinder("return", 2, 1, "VAN-1")}, LedgerDeed{What: "brought back", Where: "A → VAN-1"}},
		{[]models.Entry{cylinder("return", 1, -1, "person:A")}, LedgerDeed{What: "brought back", Where: "from A"}},
		{[]models.Entry{cylinder("receive", 1, 1, "CAGE")}, LedgerDeed{What: "received", Where: "to CAGE"}},
		{[]models.Entry{reading}, LedgerDeed{What: "pressure read", Where: "at BENCH", Before: "69.0 bar", After: "62.0 bar"}},
		{[]models.Entry{{Kind: "use", Quantity: -3600, Unit: "mL", Place: "CAGE"}}, LedgerDeed{What: "gas used", Amount: "3.60 L of gas", Where: "from CAGE"}},
		{[]models.Entry{{Kind: "issue", Quantity: -1, Unit: "each", Place: "SHELF-A", After: `{"balance":3,"to":"the van"}`}}, LedgerDeed{What: "handed out", Amount: "1 piece", Where: "from SHELF-A to the van"}},
		{[]models.Entry{{Kind: "found", Quantity: 6, Unit: "each", Place: "SHELF-A"}}, LedgerDeed{What: "found beyond the book", Amount: "6 pieces", Where: "to SHELF-A"}},
		{[]models.Entry{{Kind: "receive", Quantity: 2500, Unit: "mm", Place: "SHELF-A"}}, LedgerDeed{What: "received", Amount: "2.5 m", Where: "to SHELF-A"}},
		{[]models.Entry{{Kind: "catalogue", After: "{}"}}, LedgerDeed{What: "entered in the catalogue"}},
		{[]models.Entry{{Kind: "catalogue", Before: "{}", After: "{}"}}, LedgerDeed{What: "changed in the catalogue"}},
		{[]models.Entry{{Kind: "people", After: `{"role":"clerk","password":true}`}}, LedgerDeed{What: "added as clerk"}},
		{[]models.Entry{{Kind: "people", After: `{"role":"clerk","token":"added"}`}}, LedgerDeed{What: "token added for the role clerk"}},
		{[]models.Entry{{Kind: "people", After: `{"password":"changed"}`}}, LedgerDeed{What: "password changed"}},
		{[]models.Entry{{Kind: "people", After: `{"password":"revoked","tokens":"revoked"}`}}, LedgerDeed{What: "shut out"}},
		{[]models.Entry{{Kind: "people", After: `{"tokens":"revoked","count":2}`}}, LedgerDeed{What: "tokens revoked"}},
		{[]models.Entry{{Kind: "write_off"}}, LedgerDeed{What: "write off"}},
	} {
		lines := deedsOf(c.entries, nil)
		if len(lines) != 1 {
			t.Errorf("%+v: %d lines", c.entries, len(lines))
			continue
		}
		got := LedgerDeed{What: lines[0].What, Where: lines[0].Where, Amount: lines[0].Amount, Before: lines[0].Before, After: lines[0].After}
		if got.What != c.want.What || got.Where != c.want.Where || got.Amount != c.want.Amount || got.Before != c.want.Before || got.After != c.want.After {
			t.Errorf("%+v: %+v, want %+v", c.entries, got, c.want)
		}
	}
}

func TestSubjectsInWords(t *testing.T) {
	lots := map[int64]models.Lot{7: {ID: 7, Lot: "7K-2206"}}
	for key, want := range map[string]Subject{
		"cylinder:2222-222A":        {Words: "cylinder 2222-222A", Href: "/cylinders/2222-222A"},
		"lot:7":                     {Words: "lot 7K-2206", Href: "/lots/7"},
		"lot:8":                     {Words: "lot 8", Href: "/lots/8"},
		"item:CAP-S":                {Words: "item CAP-S", Href: "/items/CAP-S"},
		"regulator:R-05":            {Words: "regulator R-05", Href: "/regulators/R-05"},
		"catalogue:instrument:D-44": {Words: "instrument D-44", Href: "/instruments/D-44"},
		"catalogue:settings:site":   {Words: "the settings", Href: "/settings"},
		"person:Ada : B":            {Words: "Ada : B"},
		"task:12":                   {Words: "job 12 of the stores desk"},
		"odd_thing:x":               {Words: "odd thing x"},
	} {
		want.Key = key
		if got := subject(key, nounsByName(), lots); got != want {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
}

package store_test

import (
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

func TestAppendChainsEntries(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		if head(t, s) != (store.Head{}) {
			t.Errorf("an empty ledger has the head %+v", head(t, s))
		}
		first, later := entry("note", "lot:1"), entry("note", "lot:2")
		first.Seq, first.PreviousHash, first.Hash = 12, "not", "believed"
		first.Before, first.After = `{"b": 1, "a": "é<"}`, ` {} `
		write(t, s, func(tx *store.Store) error { return tx.Append(t.Context(), first, later) })
		write(t, s, func(tx *store.Store) error { return tx.Append(t.Context(), later) })
		entries, err := s.Entries(t.Context(), 0, 10)
		if err != nil || len(entries) != 3 {
			t.Fatalf("%d entries, %v", len(entries), err)
		}
		previous := ""
		for i, e := range entries {
			if e.Seq != int64(i+1) || e.PreviousHash != previous || len(e.Hash) != 64 {
				t.Errorf("entry %d: seq %d continues %q with %q", i+1, e.Seq, e.PreviousHash, e.Hash)
			}
			previous = e.Hash
		}
		if entries[0].Before != `{"a":"é<","b":1}` || entries[0].After != `{}` {
			t.Errorf("not canonical: %s, %s", entries[0].Before, entries[0].After)
		}
		if head(t, s) != (store.Head{Seq: 3, Hash: previous}) {
			t.Errorf("the head is %+v", head(t, s))
		}
	})
}

// The form that is hashed is a promise to whoever checks a ledger with a program of their own. The hash here was computed
// outside this program, as the SHA-256 of the fields but the hash as JSON, sorted by name, without blanks and escapes.
func TestHashOfAnEntryNeverChanges(t *testing.T) {
	reverses := int64(3)
	got, err := store.HashOf(models.Entry{Seq: 9, RecordedAt: 1700000000001, HappenedAt: 1700000000000, ByName: "Ada", Kind: "count",
		Subject: "item:CAP-S", Quantity: -4, Unit: "each", Place: "CAGE", Reverses: &reverses, Before: `{"a":1}`,
		Reason: "größer & <less>", RequestID: "r-1", PreviousHash: "00ff"})
	if want := "77622aa1e99cfb27cbd174623c239210beb5e644d7694374cd4b08f37853310b"; err != nil || got != want {
		t.Errorf("%s, %v, want %s", got, err, want)
	}
}

func TestEntriesOfOneSubjectNewestFirst(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		write(t, s, func(tx *store.Store) error {
			return tx.Append(t.Context(), entry("a", "lot:1"), entry("b", "lot:2"), entry("c", "lot:1"), entry("d", "lot:1"))
		})
		got, err := s.EntriesOf(t.Context(), "lot:1", 2)
		if err != nil || len(got) != 2 || got[0].Kind != "d" || got[1].Kind != "c" {
			t.Errorf("%+v, %v", got, err)
		}
		rest, err := s.Entries(t.Context(), 1, 2)
		if err != nil || len(rest) != 2 || rest[0].Seq != 2 || rest[1].Seq != 3 {
			t.Errorf("%+v, %v", rest, err)
		}
	})
}

func TestAppendRefuses(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		if err := s.Append(t.Context(), entry("note", "lot:1")); err == nil {
			t.Error("an entry outside a transaction was taken")
		}
		one := int64(1)
		reversal := entry("reverse", "lot:1")
		reversal.Reverses = &one
		write(t, s, func(tx *store.Store) error { return tx.Append(t.Context(), entry("note", "lot:1"), reversal) })
		for name, e := range map[string]models.Entry{
			"a second reversal":      reversal,
			"a state that is broken": {Kind: "note", Subject: "lot:1", After: `{"a":`},
		} {
			if err := s.Tx(t.Context(), func(tx *store.Store) error { return tx.Append(t.Context(), e) }); err == nil {
				t.Errorf("%s was taken", name)
			} else if e.Reverses != nil && problem.KindOf(err) != problem.Conflict {
				t.Errorf("%s: %v", name, err)
			}
		}
		if head(t, s).Seq != 2 {
			t.Errorf("the head is %+v", head(t, s))
		}
	})
}

// The database itself keeps the ledger, whoever is connected to it.
func TestDatabaseRefusesToChangeTheLedger(t *testing.T) {
	const row = `(seq, recorded_at, happened_at, by_name, kind, subject, quantity, unit, place, before, after, reason, request_id, previous_hash, hash)
		VALUES (%, 1, 1, 'Eve', 'note', 'lot:1', 0, '', '', '', '', '', '', '', '')`
	insert := func(verb, seq string) string { return verb + " INTO ledger " + strings.Replace(row, "%", seq, 1) }
	statements := map[string][]string{
		"both": {
			"UPDATE ledger SET reason = 'x'",
			"UPDATE ledger SET reason = reason WHERE seq = 7",
			"DELETE FROM ledger",
			"DELETE FROM ledger WHERE seq = 7",
			insert("INSERT", "7"), insert("INSERT", "9"), insert("INSERT", "0"), insert("INSERT", "-1"),
			insert("INSERT", "7") + " ON CONFLICT (seq) DO UPDATE SET reason = 'x'",
			"UPDATE versions SET doc = '{}'",
			"DELETE FROM versions",
		},
		"sqlite": {
			insert("INSERT OR REPLACE", "7"), insert("REPLACE", "3"),
			"UPDATE OR REPLACE ledger SET seq = 6 WHERE seq = 7",
			"INSERT OR IGNORE INTO ledger SELECT seq + 3, recorded_at, happened_at, by_name, kind, subject, quantity, unit, place," +
				" reverses, before, after, reason, request_id, previous_hash, hash FROM ledger",
		},
		"postgres": {"TRUNCATE ledger", "TRUNCATE ledger CASCADE", "TRUNCATE versions"},
	}
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		exec(t, db, `INSERT INTO versions (noun, code, version, doc, recorded_at, by_name) VALUES ('item', 'Q4', 1, '{}', 1, 'Ada')`)
		before := head(t, s)
		of := "sqlite"
		if store.IsPostgres(address) {
			of = "postgres"
		}
		for _, one := range append(statements["both"], statements[of]...) {
			if _, err := db.ExecContext(t.Context(), one); err == nil {
				t.Errorf("done: %s", one)
			} else if text := err.Error(); !strings.Contains(text, "ledger") && !strings.Contains(text, "versions") {
				t.Errorf("%s: %v", one, err)
			}
		}
		v, err := s.Verify(t.Context())
		if err != nil || v.Fault != nil || v.Head != before || v.Entries != 7 || !eachNamed(v.Balances, []string{"catalogue:item:Q4"}) { // which was put in above
			t.Errorf("afterwards: %+v, %v", v, err)
		}
	})
}

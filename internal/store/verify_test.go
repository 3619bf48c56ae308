package store_test

import (
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

// unlock takes away the database's own guard, as somebody with the file or the password could.
func unlock(t *testing.T, db *sql.DB, address string) {
	t.Helper()
	if store.IsPostgres(address) {
		exec(t, db, "ALTER TABLE ledger DISABLE TRIGGER USER", "ALTER TABLE versions DISABLE TRIGGER USER")
		return
	}
	exec(t, db, "DROP TRIGGER ledger_in_order", "DROP TRIGGER ledger_never_updated", "DROP TRIGGER ledger_never_deleted",
		"DROP TRIGGER versions_never_updated", "DROP TRIGGER versions_never_deleted")
}

func TestVerifyFindsTampering(t *testing.T) {
	tests := []struct {
		name       string
		statements []string
		fault      int64 // the entry that is named, 0 for none
		why        string
		balances   []string // what is said of balances and cylinders, in parts
	}{
		{"nothing", nil, 0, "", nil},
		{"an edited reason", []string{"UPDATE ledger SET reason = 'x' WHERE seq = 3"}, 3, "entry 3 was edited", nil},
		{"two edited entries", []string{"UPDATE ledger SET reason = 'x' WHERE seq IN (6, 2)"}, 2, "entry 2 was edited", nil},
		{"an edited quantity", []string{"UPDATE ledger SET quantity = 24 WHERE seq = 3"}, 3, "entry 3 was edited",
			[]string{"item:CAP-S at CAGE: the ledger sums to 21, the balance says 22"}},
		{"the first entry deleted", []string{"DELETE FROM ledger WHERE seq = 1"}, 1, "entry 1 is missing", []string{"cylinder:2222-222A at CAGE"}},
		{"one deleted in the middle", []string{"DELETE FROM ledger WHERE seq = 6"}, 6, "entry 6 is missing", []string{"item:CAP-S at CAGE"}},
		{"one deleted, the rest moved up", []string{"DELETE FROM ledger WHERE seq = 6", "UPDATE ledger SET seq = 6 WHERE seq = 7"},
			6, "entry 6 does not continue entry 5", []string{"item:CAP-S at CAGE"}},
		{"two swapped", []string{"UPDATE ledger SET seq = -3 WHERE seq = 3", "UPDATE ledger SET seq = 3 WHERE seq = 6", "UPDATE ledger SET seq = 6 WHERE seq = -3"},
			3, "entry 3 does not continue entry 2", nil},
		{"one put in", []string{"UPDATE ledger SET seq = 8 WHERE seq = 7", `INSERT INTO ledger SELECT 7, recorded_at, happened_at, by_name, kind, subject, quantity,
			unit, place, reverses, before, after, reason, request_id, previous_hash, hash FROM ledger WHERE seq = 8`}, 8, "entry 8 does not continue entry 7", nil},
		{"a changed balance", []string{"UPDATE balances SET quantity = 99"}, 0, "", []string{"item:CAP-S at CAGE: the ledger sums to 22, the balance says 99"}},
		{"a deleted balance", []string{"DELETE FROM balances"}, 0, "", []string{"item:CAP-S at CAGE: the ledger sums to 22, the balance says 0"}},
		{"a balance out of nothing", []string{"INSERT INTO balances (item_id, place_id, quantity) VALUES (102, 102, 5)"}, 0, "",
			[]string{"item:CAP-S at VAN-1: the ledger sums to 0, the balance says 5"}},
		{"a changed pressure", []string{"UPDATE cylinders SET pressure_pa = 1 WHERE tag = '2222-222A'"}, 0, "",
			[]string{"cylinder 2222-222A: its row is not what the ledger wrote last"}},
		{"a moved cylinder", []string{"UPDATE cylinders SET place_id = 102 WHERE tag = '3333-333B'"}, 0, "", []string{
			"cylinder 3333-333B: its row is not what the ledger wrote last",
			"cylinder:3333-333B at CAGE: the ledger counts 1, the cylinder list 0",
			"cylinder:3333-333B at VAN-1: the ledger counts 0, the cylinder list 1"}},
		{"a cylinder given to somebody", []string{"UPDATE cylinders SET place_id = NULL, holder_id = 101 WHERE tag = '3333-333B'"}, 0, "", []string{
			"cylinder 3333-333B: its row", "3333-333B at CAGE: the ledger counts 1", "3333-333B at person:Bram: the ledger counts 0"}},
		{"a deleted cylinder", []string{"DELETE FROM cylinders WHERE tag = '3333-333B'"}, 0, "", []string{
			"cylinder:3333-333B: the ledger knows it, its row is gone", "cylinder:3333-333B at CAGE: the ledger counts 1, the cylinder list 0"}},
		{"a renamed cylinder", []string{"UPDATE cylinders SET tag = '4444-444C' WHERE tag = '3333-333B'"}, 0, "", []string{
			"cylinder 4444-444C: its row", "cylinder:3333-333B: the ledger knows it", "3333-333B at CAGE: the ledger counts 1", "4444-444C at CAGE: the ledger counts 0"}},
	}
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		unlock(t, db, address)
		for _, tt := range tests {
			t.Run(tt.name, func(t *testing.T) {
				v := verifyAfter(t, s, db, tt.statements)
				switch {
				case tt.fault == 0 && v.Fault != nil:
					t.Errorf("an entry is blamed: %+v", v.Fault)
				case tt.fault != 0 && (v.Fault == nil || v.Fault.Seq != tt.fault || !strings.Contains(v.Fault.Why, tt.why)):
					t.Errorf("blamed is %+v, want %d: %s", v.Fault, tt.fault, tt.why)
				}
				if v.Sound() != (tt.fault == 0 && len(tt.balances) == 0) {
					t.Errorf("sound: %v", v.Sound())
				}
				if !eachNamed(v.Balances, tt.balances) {
					t.Errorf("said:\n%s\nwant:\n%s", strings.Join(v.Balances, "\n"), strings.Join(tt.balances, "\n"))
				}
			})
		}
	})
}

// Holds and the catalogue are compared as well: whoever releases a hold or changes a setting behind the program's back is seen.
func TestVerifyFindsTamperedHoldsAndVersions(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		write(t, s, func(tx *store.Store) error {
			for version, doc := range []string{`{"zone":"UTC","retry_pct":10}`, `{"retry_pct":5.50, "zone":"UTC"}`} {
				e := entry("catalogue", "catalogue:settings:site")
				e.After = doc
				v := models.Version{Noun: "settings", Code: "site", Version: int64(version) + 1, Doc: doc, RecordedAt: 1, ByName: "Ada"}
				if err := errors.Join(tx.AddVersion(t.Context(), v), tx.Append(t.Context(), e)); err != nil {
					return err
				}
			}
			for _, h := range []models.Hold{{OnKind: "lot", OnID: lot7, OnName: "7K-2206"}, {OnKind: "item", OnID: caps, OnName: "CAP-S"}} {
				h.Reason, h.PlacedAt, h.PlacedBy = "Recall", 1, "Ada"
				subject := map[string]string{"lot": fmt.Sprint("lot:", lot7), "item": "item:CAP-S"}[h.OnKind]
				if err := errors.Join(tx.AddHold(t.Context(), &h), tx.Append(t.Context(), entry("hold", subject))); err != nil {
					return err
				}
			}
			return nil
		})
		unlock(t, db, address)
		for _, tt := range []struct {
			name, statement string
			want            []string
		}{
			{"nothing", "SELECT 1", nil},
			{"a hold released", "UPDATE holds SET released_at = 2 WHERE on_kind = 'lot'", []string{"lot:101: the ledger counts 1 standing holds, the list of holds 0"}},
			{"a hold deleted", "DELETE FROM holds WHERE on_kind = 'item'", []string{"item:CAP-S: the ledger counts 1"}},
			{"a hold moved", "UPDATE holds SET on_id = 7 WHERE on_kind = 'lot'", []string{"lot:101: the ledger counts 1", "lot:7: the ledger counts 0"}},
			{"a setting changed", `UPDATE versions SET doc = '{"retry_pct":0,"zone":"UTC"}' WHERE version = 2`, []string{"catalogue:settings:site: its version 2 is not what the ledger wrote"}},
			{"a version deleted", "DELETE FROM versions WHERE version = 2", []string{"catalogue:settings:site: the ledger knows 2 versions, 1 are there"}},
			{"a version put in", `INSERT INTO versions (noun, code, version, doc, recorded_at, by_name) VALUES ('settings', 'site', 3, '{}', 1, 'Ada')`,
				[]string{"catalogue:settings:site: its version 3 is not"}},
			{"the same in other words", `UPDATE versions SET doc = '{"zone":"UTC", "retry_pct":5.5}' WHERE version = 2`, nil},
		} {
			t.Run(tt.name, func(t *testing.T) {
				if v := verifyAfter(t, s, db, []string{tt.statement}); v.Fault != nil || !eachNamed(v.Balances, tt.want) {
					t.Errorf("%+v\n%s", v.Fault, strings.Join(v.Balances, "\n"))
				}
			})
		}
	})
}

// verifyAfter verifies after some tampering, and puts back what was there before.
func verifyAfter(t *testing.T, s *store.Store, db *sql.DB, statements []string) store.Verdict {
	t.Helper()
	tables := []string{"ledger", "balances", "cylinders", "holds", "versions"}
	for _, table := range tables {
		exec(t, db, fmt.Sprintf("CREATE TABLE kept_%s AS SELECT * FROM %s", table, table))
	}
	defer func() {
		for _, table := range tables {
			exec(t, db, "DELETE FROM "+table, fmt.Sprintf("INSERT INTO %s SELECT * FROM kept_%s", table, table), "DROP TABLE kept_"+table)
		}
	}()
	exec(t, db, statements...)
	v, err := s.Verify(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// eachNamed tells whether each text contains its part, in any order, and there are no others.
func eachNamed(texts, parts []string) bool {
	if len(texts) != len(parts) {
		return false
	}
	for _, part := range parts {
		if !slices.ContainsFunc(texts, func(text string) bool { return strings.Contains(text, part) }) {
			return false
		}
	}
	return true
}

// The hash covers every column, so that none can be edited unseen.
func TestVerifyFindsAnEditOfAnyColumn(t *testing.T) {
	edits := map[string]string{
		"recorded_at": "2", "happened_at": "2", "by_name": "'Eve'", "kind": "'x'", "subject": "'lot:9'", "quantity": "24", "unit": "'mm'",
		"place": "'VAN-1'", "reverses": "1", "before": "'{}'", "after": "'{}'", "reason": "'x'", "request_id": "'x'",
		"previous_hash": "hash", "hash": "previous_hash",
	}
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		unlock(t, db, address)
		columns := count(t, db, "SELECT COUNT(*) FROM "+columnsOf(address, "ledger"))
		if int(columns) != len(edits)+1 { // seq is the other one
			t.Errorf("the ledger has %d columns, %d are tried", columns, len(edits))
		}
		for column, value := range edits {
			v := verifyAfter(t, s, db, []string{fmt.Sprintf("UPDATE ledger SET %s = %s WHERE seq = 3", column, value)})
			if v.Fault == nil || v.Fault.Seq != 3 {
				t.Errorf("%s: blamed is %+v", column, v.Fault)
			}
		}
	})
}

func columnsOf(address, table string) string {
	if store.IsPostgres(address) {
		return "information_schema.columns WHERE table_schema = current_schema() AND table_name = '" + table + "'"
	}
	return "pragma_table_info('" + table + "')"
}

// Somebody who knows the form can give an edited entry its right hash, but the next entry still holds the old one.
func TestVerifyFindsARecomputedEntry(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		unlock(t, db, address)
		entries, err := s.Entries(t.Context(), 2, 1)
		if err != nil {
			t.Fatal(err)
		}
		e := entries[0]
		e.Reason = "rewritten"
		if e.Hash, err = store.HashOf(e); err != nil {
			t.Fatal(err)
		}
		v := verifyAfter(t, s, db, []string{fmt.Sprintf("UPDATE ledger SET reason = 'rewritten', hash = '%s' WHERE seq = 3", e.Hash)})
		if v.Fault == nil || v.Fault.Seq != 4 || !strings.Contains(v.Fault.Why, "does not continue entry 3") {
			t.Errorf("blamed is %+v", v.Fault)
		}
	})
}

// A cut tail leaves a chain that holds; only the head that was written down elsewhere shows it.
func TestACutTailShowsInTheHead(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		noted := head(t, s)
		unlock(t, db, address)
		v := verifyAfter(t, s, db, []string{"DELETE FROM ledger WHERE seq = 7"})
		if !v.Sound() || v.Entries != 6 {
			t.Errorf("%+v", v)
		}
		if v.Head.Seq != 6 || v.Head.Hash == noted.Hash || noted.Seq != 7 {
			t.Errorf("the head is %+v, noted was %+v", v.Head, noted)
		}
	})
}

// Verify sees one moment, so that work which goes on is no mismatch.
func TestVerifyWhileOthersWrite(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, _ := stock(t, address)
		busy := func(tx *store.Store) error {
			in := entry("receive", "item:CAP-S")
			in.Quantity, in.Unit, in.Place = 1, "each", "CAGE"
			return errors.Join(tx.AddBalance(t.Context(), caps, cage, in), readGauge(t.Context(), tx, "2222-222A"))
		}
		round := make(chan struct{}) // each round of writing goes on beside one verify
		var writer sync.WaitGroup
		writer.Go(func() {
			for range round {
				for range 20 {
					if err := s.Tx(t.Context(), busy); err != nil {
						t.Error(err)
					}
				}
			}
		})
		for range 10 {
			round <- struct{}{}
			if v, err := s.Verify(t.Context()); err != nil || !v.Sound() {
				t.Errorf("%+v %v, %v", v.Fault, v.Balances, err)
			}
		}
		close(round)
		writer.Wait()
		if h := head(t, s); h.Seq != 7+10*20*2 {
			t.Errorf("%d entries", h.Seq)
		}
	})
}

package main

import (
	"database/sql"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

func TestVerify(t *testing.T) {
	for _, c := range []struct {
		name    string
		spoil   func(t *testing.T, db string)
		code    int
		says    []string
		entries string
	}{
		{"sound", func(*testing.T, string) {}, done, []string{"chain: unbroken\n", "balances, cylinders, holds and catalogue: agree"}, "entries: 6\n"},
		{"edited", edit, failed, []string{"first bad entry: 3, entry 3 was edited"}, "entries: 6\n"},
		{"deleted in the middle", remove, failed, []string{"first bad entry: 4, entry 4 is missing"}, "entries: 5\n"},
		{"balance without its row", bookAlone, failed, []string{"chain: unbroken\n", "does not agree: item:CAP at SHELF-A: the ledger sums to 5, the balance says 0"}, "entries: 7\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			db := filled(t)
			c.spoil(t, db)
			r := run(t, "verify", "--db", db)
			if r.code != c.code {
				t.Errorf("code %d, want %d", r.code, c.code)
			}
			if c.code == failed {
				refused(t, r, failed, "not what its ledger says", "last backup")
			}
			for _, words := range append(c.says, c.entries, "ledger head: ") {
				if !strings.Contains(r.out, words) {
					t.Errorf("it does not say %q:\n%s", words, r.out)
				}
			}
		})
	}
}

func TestVerifyOfNothing(t *testing.T) {
	refused(t, run(t, "verify", "--db", newFile(t, "typo.db")), failed, "no database at", "spanroom serve --db")
}

func edit(t *testing.T, db string) {
	tamper(t, db, "DROP TRIGGER ledger_never_updated", "UPDATE ledger SET reason = 'never happened' WHERE seq = 3")
}

func remove(t *testing.T, db string) {
	tamper(t, db, "DROP TRIGGER ledger_never_deleted", "DELETE FROM ledger WHERE seq = 4")
}

// bookAlone writes a ledger entry whose balance nobody keeps.
func bookAlone(t *testing.T, db string) {
	t.Helper()
	s, err := store.Open(t.Context(), db, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	err = s.Tx(t.Context(), func(tx *store.Store) error {
		return tx.Append(t.Context(), models.Entry{RecordedAt: 1, HappenedAt: 1, ByName: "Ida", Kind: "receive", Subject: "item:CAP", Quantity: 5, Unit: "each", Place: "SHELF-A"})
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
}

// tamper changes a database behind the program's back.
func tamper(t *testing.T, db string, statements ...string) {
	t.Helper()
	drivers := sql.Drivers()
	pool, err := sql.Open(drivers[slices.IndexFunc(drivers, isSQLite)], db)
	if err != nil {
		t.Fatal(err)
	}
	defer pool.Close()
	for _, statement := range statements {
		if _, err := pool.Exec(statement); err != nil {
			t.Fatal(err)
		}
	}
}

func isSQLite(driver string) bool { return strings.HasPrefix(driver, "sqlite") }

// A server's ledger is verified like a file's.
func TestVerifyOnPostgres(t *testing.T) {
	db := storetest.PostgresSchema(t)
	must(t, "token", "add", "till", "--role", "clerk", "--db", db)
	if r := must(t, "verify", "--db", db); !strings.Contains(r.out, "entries: 2\nchain: unbroken\n") {
		t.Errorf("it says\n%s", r.out)
	}
}

package main

import (
	"os"
	"strings"
	"testing"
)

// filled makes a database with a few ledger entries.
func filled(t *testing.T) string {
	t.Helper()
	db := newFile(t, "store.db")
	for _, name := range []string{"till", "gate", "van"} {
		must(t, "token", "add", name, "--role", "clerk", "--db", db)
	}
	return db
}

func TestBackupAndRestore(t *testing.T) {
	db, copied, back := filled(t), newFile(t, "copy.db"), newFile(t, "back.db")
	head := must(t, "backup", copied, "--db", db).out
	if !strings.HasPrefix(head, "ledger head: 6 ") {
		t.Errorf("head %q", head)
	}
	must(t, "token", "add", "later", "--role", "clerk", "--db", db)
	if got := must(t, "restore", copied, "--db", back).out; got != head {
		t.Errorf("restored %q, want %q", got, head)
	}
	if got := must(t, "verify", "--db", back).out; !strings.HasSuffix(got, head) {
		t.Errorf("verify of what was brought back says\n%swant at its end %s", got, head)
	}
}

func TestBackupRefusals(t *testing.T) {
	db := filled(t)
	t.Run("over a file", func(t *testing.T) {
		there := newFile(t, "there.db")
		if err := os.WriteFile(there, []byte("mine"), 0o600); err != nil {
			t.Fatal(err)
		}
		refused(t, run(t, "backup", there, "--db", db), failed, "exists already; choose a new name")
		if text, err := os.ReadFile(there); err != nil || string(text) != "mine" {
			t.Errorf("%q, %v", text, err)
		}
	})
	t.Run("of nothing", func(t *testing.T) {
		missing := newFile(t, "typo.db")
		refused(t, run(t, "backup", newFile(t, "copy.db"), "--db", missing), failed, "no database at "+missing, "check --db")
		if _, err := os.Stat(missing); err == nil {
			t.Error("an empty database was made")
		}
	})
	t.Run("of a server", func(t *testing.T) {
		refused(t, run(t, "backup", newFile(t, "copy.db"), "--db", "postgres://nobody@localhost:1/none"), failed, "pg_dump")
	})
	t.Run("restore to a server", func(t *testing.T) {
		refused(t, run(t, "restore", db, "--db", "postgres://nobody@localhost:1/none"), failed, "pg_restore")
	})
	t.Run("restore over a database", func(t *testing.T) {
		refused(t, run(t, "restore", db, "--db", db), failed, "exists already; choose a new name")
	})
	t.Run("restore of no database", func(t *testing.T) {
		text := newFile(t, "notes.txt")
		if err := os.WriteFile(text, []byte(strings.Repeat("not a database\n", 100)), 0o600); err != nil {
			t.Fatal(err)
		}
		refused(t, run(t, "restore", text, "--db", newFile(t, "back.db")), failed, "not a database")
	})
}

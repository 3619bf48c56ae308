package handlers

import (
	"context"
	"database/sql"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

func TestScenariosOfReleasing(t *testing.T) {
	play(t, []scenario{
		{name: "S79 the leak is not the technician's to release", steps: steps(
			brought("A", "Q4", 1, "2026-10-01", "2027-12-01"),
			step{as: auth.Technician, do: "POST /holds", body: `{"on":{"kind":"cylinder","id":"{A1}"},"reason":"Leak suspected","text":"it hisses"}`, page: []string{"it hisses"}},
			step{as: auth.Viewer, do: "GET /holds", keep: "hold", gives: fields{"rows.0.reason": "Leak suspected", "rows.0.may_release": []any{"supervisor"}}},
			step{as: auth.Technician, do: "POST /holds/{hold}/release", body: `{"evidence":"soap shows nothing"}`, want: 403, says: []string{"may not release", "supervisor"}},
			step{as: auth.Clerk, do: "POST /holds/{hold}/release", body: `{"evidence":"soap shows nothing"}`, want: 403, says: []string{`a clerk may not release a hold for "Leak suspected"`, "supervisor"}},
			step{as: auth.Supervisor, do: "POST /holds/{hold}/release", body: `{"evidence":""}`, want: 422, says: []string{"the evidence is not given"}},
			step{as: auth.Supervisor, do: "POST /holds/{hold}/release", body: `{"evidence":"soap test, 24 h, no drop"}`},
			step{as: auth.Viewer, do: "GET /cylinders/{A1}", gives: fields{"holds.#": 0, "readiness.state": "usable"}},
		)},
	})
}

// S78: what is changed in the database behind the back of spanroom is found, and the first entry that does not hold is named.
func TestS78TheChainNamesWhatWasTampered(t *testing.T) {
	for name, c := range map[string]struct {
		sql  []string
		says string
	}{
		"a quantity in the ledger":   {[]string{"DROP TRIGGER IF EXISTS %", "UPDATE ledger SET quantity = 2 WHERE seq = 60"}, "entry 60 was edited"},
		"an entry taken out":         {[]string{"DROP TRIGGER IF EXISTS %", "DELETE FROM ledger WHERE seq = 61"}, "entry 61 is missing"},
		"a pressure in the cylinder": {[]string{"UPDATE cylinders SET pressure_pa = 1 WHERE id = 2"}, "its row is not what the ledger wrote last"},
		"a cylinder somewhere else":  {[]string{"UPDATE cylinders SET place_id = (SELECT id FROM places WHERE code = 'BENCH') WHERE id = 3"}, "the ledger counts 0, the cylinder list 1"},
		"a balance of filters":       {[]string{"UPDATE balances SET quantity = 40"}, "the ledger sums to 4, the balance says 40"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h := newHarrowmere(t, morning)
			h.must(auth.Clerk, "POST", "/receipts", brought("A", "Q4", 8, "2026-10-01", "2027-12-01").body)
			h.must(auth.Clerk, "POST", "/receipts", `{"supplier":"northbank","item":"FILTER-H","counted":4,"place":"SHELF-A"}`)
			h.verify()
			h.tamper(c.sql)
			v, err := h.store.Verify(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			told := strings.Join(v.Balances, "; ")
			if v.Fault != nil {
				told += "; " + v.Fault.Why
			}
			if v.Sound() || !strings.Contains(told, c.says) {
				t.Errorf("verify says %q, want %q", told, c.says)
			}
		})
	}
}

// tamper changes the database from outside; a first line that drops triggers takes away the ledger's own.
func (h *house) tamper(statements []string) {
	h.t.Helper()
	drivers := sql.Drivers()
	at := slices.IndexFunc(drivers, func(name string) bool { return strings.HasPrefix(name, "sqlite") })
	db, err := sql.Open(drivers[at], h.file)
	if err != nil {
		h.t.Fatal(err)
	}
	defer db.Close()
	if strings.HasPrefix(statements[0], "DROP TRIGGER") {
		statements = append(h.triggers(db), statements[1:]...)
	}
	for _, statement := range statements {
		if _, err := db.Exec(statement); err != nil {
			h.t.Fatalf("%s: %v", statement, err)
		}
	}
}

func (h *house) triggers(db *sql.DB) []string {
	h.t.Helper()
	rows, err := db.Query("SELECT 'DROP TRIGGER ' || name FROM sqlite_master WHERE type = 'trigger'")
	if err != nil {
		h.t.Fatal(err)
	}
	defer rows.Close()
	var drops []string
	for rows.Next() {
		var drop string
		if err := rows.Scan(&drop); err != nil {
			h.t.Fatal(err)
		}
		drops = append(drops, drop)
	}
	if err := rows.Err(); err != nil || len(drops) == 0 {
		h.t.Fatalf("%d triggers: %v", len(drops), err)
	}
	return drops
}

package stock

import (
	"database/sql"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

// The size of a large fleet: each monitor has a schedule of three lines and years of tests behind it.
const (
	manyMonitors = 5_000
	testsOfEach  = 60
)

// BenchmarkDue tells what is due in a large fleet, as the front page does for whoever tests it.
func BenchmarkDue(b *testing.B) {
	path := filepath.Join(b.TempDir(), "fleet.db")
	s := storetest.Open(b, path)
	now := time.Date(2027, 3, 3, 7, 0, 0, 0, time.UTC)
	room := Room{Store: s, Now: func() time.Time { return now }}
	seedFleet(b, openRaw(b, path), now)
	for b.Loop() {
		a, err := room.Due(b.Context(), DueQuestion{})
		if n := a.Counts.Due + a.Counts.Overdue + a.Counts.Never + a.Counts.OK; err != nil || n != 3*manyMonitors {
			b.Fatalf("%d tests on schedules: %v", n, err)
		}
	}
}

func seedFleet(b *testing.B, db *sql.DB, now time.Time) {
	b.Helper()
	if _, err := db.ExecContext(b.Context(), `PRAGMA foreign_keys = OFF`); err != nil { // the tests hang on no check-out
		b.Fatal(err)
	}
	tx, err := db.BeginTx(b.Context(), nil)
	if err != nil {
		b.Fatal(err)
	}
	do := func(query string, values ...any) {
		if _, err := tx.ExecContext(b.Context(), query, values...); err != nil {
			b.Fatalf("%s: %v", query, err)
		}
	}
	for id, purpose := range []string{"zero", "bump", "calibration"} {
		do(`INSERT INTO procedures (id, code, name, version, purpose, flow_ml_min, duration_s, purge_ml, conditioning_s) VALUES (?, ?, '', 1, ?, 300, 30, 0, 0)`, id+1, purpose, purpose)
	}
	doc := `{"code":"D-%05d","version":1,"model":"DIFF-4","place":"P-%02d","schedule":[{"procedure":"zero","every_days":1},{"procedure":"bump","every_days":3},{"procedure":"calibration","every_days":31}]}`
	for i := range manyMonitors {
		do(`INSERT INTO versions (noun, code, version, doc, recorded_at, by_name) VALUES ('instrument', ?, 1, ?, 1, 'A')`, fmt.Sprintf("D-%05d", i), fmt.Sprintf(doc, i, i%30))
	}
	at := unit.InstantOf(now.AddDate(-2, 0, 0))
	step := (unit.InstantOf(now) - at) / unit.Instant(manyMonitors*testsOfEach)
	for i := range manyMonitors * testsOfEach {
		at += step
		do(`INSERT INTO tests (checkout_id, instrument, procedure_id, result, attempts, used_ml, readings, valid, happened_at, recorded_at, by_name)
			VALUES (1, ?, ?, 'pass', 1, 150, '{}', TRUE, ?, ?, 'A')`, fmt.Sprintf("D-%05d", i*7919%manyMonitors), i%17%3+1, at, at)
	}
	if err := tx.Commit(); err != nil {
		b.Fatal(err)
	}
}

package store_test

import (
	"context"
	"database/sql"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

// What furnish puts there. The ids are far from those that the databases give themselves.
const (
	bram       = 101
	cage, van  = 101, 102
	gas4, caps = 101, 102
	lot7, in7  = 101, 101
)

// second opens another connection to a store's database, past everything that the store takes care of.
func second(t *testing.T, address string) *sql.DB {
	t.Helper()
	driver := "pgx"
	if !store.IsPostgres(address) {
		driver, address = store.SQLiteDriver, store.SQLiteAddress(address)
	}
	db, err := sql.Open(driver, address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	return db
}

func exec(t *testing.T, db *sql.DB, statements ...string) {
	t.Helper()
	for _, one := range statements {
		if _, err := db.ExecContext(t.Context(), one); err != nil {
			t.Fatalf("%s: %v", one, err)
		}
	}
}

// furnish makes what cylinders and consumables refer to.
func furnish(t *testing.T, db *sql.DB) {
	t.Helper()
	exec(t, db,
		`INSERT INTO people (id, name, role, password_hash, created_at) VALUES (101, 'Bram', 'technician', '', 1)`,
		`INSERT INTO places (id, code, name, version, kind) VALUES (101, 'CAGE', 'Outdoor cage', 1, 'cage'), (102, 'VAN-1', 'Van', 1, 'van')`,
		`INSERT INTO suppliers (id, code, name, version, lead_days, lead_sd_days) VALUES (101, 'northbank', 'Northbank Gases', 1, 42, 8)`,
		`INSERT INTO blends (id, code, name, version, balance) VALUES (101, 'Q4', 'four-gas', 1, 'N2')`,
		`INSERT INTO items (id, code, name, version, kind, counted_in, blend_id, water_volume_ml, fill_pressure_pa, outlet, refillable) VALUES
			(101, 'Q4', 'four-gas', 1, 'gas', 'cylinder', 101, 1000, 6900000, 'C-10', FALSE),
			(102, 'CAP-S', 'small cap', 1, 'cap', 'each', NULL, 0, 0, '', FALSE)`,
		`INSERT INTO lots (id, supplier_id, blend_id, lot, lot_key, filled_on, assayed_on, label_expires_on, received_at, version)
			VALUES (101, 101, 101, '7K-2206', '7K2206', '2026-10-01', '', '2027-10-01', 1, 1)`,
		`INSERT INTO receipts (id, supplier_id, item_id, lot_id, place_id, quantity, counted_in, typed, findings, settings_version, received_at, by_name)
			VALUES (101, 101, 101, 101, 101, 2, 'cylinder', '{}', '[]', 1, 1, 'Ada')`,
	)
}

// entry is what a caller says of one thing that happened.
func entry(kind, subject string) models.Entry {
	return models.Entry{RecordedAt: 1_780_000_000_000, HappenedAt: 1_780_000_000_000, ByName: "Ada", Kind: kind, Subject: subject}
}

func inCage(tag unit.Tag) models.Cylinder {
	at := int64(cage)
	return models.Cylinder{Tag: tag, ItemID: gas4, LotID: lot7, ReceiptID: in7, Stage: "sealed", PlaceID: &at,
		Pressure: 6_900_000, Temperature: 294_150, Coldest: 294_150, PressureSource: "fill", MeasuredAt: 1, ReceivedAt: 1}
}

// stock is a furnished store in which something has happened: seven ledger entries about two cylinders, some caps and a lot.
func stock(t *testing.T, address string) (*store.Store, *sql.DB) {
	t.Helper()
	s := storetest.Open(t, address)
	db := second(t, address)
	furnish(t, db)
	write(t, s, func(tx *store.Store) error { return liveThrough(t.Context(), tx) })
	return s, db
}

func liveThrough(ctx context.Context, tx *store.Store) error {
	received := entry("receive", "")
	received.Place = "CAGE"
	both, err := tx.AddCylinders(ctx, []models.Cylinder{inCage("2222-222A"), inCage("3333-333B")}, received) // 1, 2
	if err != nil {
		return err
	}
	capsIn := entry("receive", "item:CAP-S")
	capsIn.Quantity, capsIn.Unit, capsIn.Place = 25, "each", "CAGE"
	if err := tx.AddBalance(ctx, caps, cage, capsIn); err != nil { // 3
		return err
	}
	moved, at := both[0], int64(van)
	moved.PlaceID = &at
	change := store.Change{Before: both[0], After: moved, From: "CAGE", To: "VAN-1"}
	if _, err := tx.PutCylinder(ctx, change, entry("move", "")); err != nil { // 4, 5
		return err
	}
	capsOut := entry("issue", "item:CAP-S")
	capsOut.Quantity, capsOut.Unit, capsOut.Place = -3, "each", "CAGE"
	if err := tx.AddBalance(ctx, caps, cage, capsOut); err != nil { // 6
		return err
	}
	return tx.Append(ctx, entry("certificate", "lot:101")) // 7
}

// readGauge lets a little gas out of a cylinder where it stands.
func readGauge(ctx context.Context, tx *store.Store, tag unit.Tag) error {
	before, err := tx.CylinderByTag(ctx, tag)
	if err != nil {
		return err
	}
	at := store.Position("CAGE")
	if *before.PlaceID == van {
		at = "VAN-1"
	}
	after := before
	after.Pressure--
	_, err = tx.PutCylinder(ctx, store.Change{Before: before, After: after, From: at, To: at}, entry("reading", ""))
	return err
}

func count(t *testing.T, db *sql.DB, query string) (n int64) {
	t.Helper()
	if err := db.QueryRowContext(t.Context(), query).Scan(&n); err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	return n
}

func head(t *testing.T, s *store.Store) store.Head {
	t.Helper()
	h, err := s.Head(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return h
}

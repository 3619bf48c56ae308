package stock

import (
	"fmt"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/store"
	"spanroom/models"
)

// seedMany fills a store with a large storeroom: the catalogue by the use cases, the cylinders past them. Every tenth is
// opened, every fiftieth on hold, every twentieth is with somebody, and every tenth lot has expired.
func seedMany(b *testing.B, s *store.Store, path string) (Room, auth.Person) {
	b.Helper()
	now := time.Date(2027, 3, 3, 7, 0, 0, 0, time.UTC)
	room := Room{Store: s, Now: func() time.Time { return now }}
	p := models.Person{Name: "A", Role: "technician", CreatedAt: 1}
	if err := s.Tx(b.Context(), func(tx *store.Store) error { return tx.AddPerson(b.Context(), &p) }); err != nil {
		b.Fatal(err)
	}
	by := auth.Person{ID: p.ID, Name: "A", Role: auth.Technician}
	c := catalogue.Room{Store: s, Now: room.Now}
	act := auth.Act{By: auth.Person{ID: p.ID, Name: "A", Role: auth.Supervisor}}
	if err := c.Start(b.Context(), act); err != nil {
		b.Fatal(err)
	}
	for _, thing := range []catalogue.Order{
		&catalogue.Supplier{Code: "northbank", LeadTimeDays: 42}, &catalogue.Place{Code: "CAGE", Kind: "cage"},
		&catalogue.Blend{Code: "Q4", Balance: "N2", Components: []catalogue.BlendPart{
			{Component: "CH4", Amount: "2.5 %vol"}, {Component: "O2", Amount: "18 %vol"}, {Component: "CO", Amount: "100 ppm"}, {Component: "H2S", Amount: "25 ppm"},
		}},
		&catalogue.Procedure{Code: "bump-q4", Purpose: "bump", Blend: "Q4", Flow: "0.3 L/min", Duration: "30 s", Purge: "0.3 L"},
		&catalogue.Procedure{Code: "cal-q4", Purpose: "calibration", Blend: "Q4", Flow: "0.3 L/min", Duration: "2 min", Purge: "0.3 L"},
		fourGasModel("DIFF-4"),
	} {
		if _, err := c.Make(b.Context(), act, thing); err != nil {
			b.Fatal(err)
		}
	}
	for i := range fleetOfMany {
		for _, thing := range []catalogue.Order{
			&catalogue.Instrument{Code: fmt.Sprintf("D-%03d", i), Model: "DIFF-4"},
			&catalogue.Regulator{Code: fmt.Sprintf("R-%02d", i), Inlet: "C-10", MaxPressure: "103 bar", Mode: "fixed", Flow: "0.3 L/min", Body: "stainless", Place: "CAGE"},
			&catalogue.Tubing{Code: fmt.Sprintf("T-%02d", i), Material: "FEP", Length: "60 cm", Place: "CAGE"},
			&catalogue.Cap{Code: fmt.Sprintf("K-%02d", i), Models: []string{"DIFF-4"}, Place: "CAGE"},
		} {
			if _, err := c.Make(b.Context(), act, thing); err != nil {
				b.Fatal(err)
			}
		}
	}
	insertMany(b, path)
	return room, by
}

func insertMany(b *testing.B, path string) {
	b.Helper()
	db := openRaw(b, path)
	const numbers = `WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < %d - 1) `
	for _, statement := range []string{
		fmt.Sprintf(numbers, manyItems) + `INSERT INTO items (id, code, name, version, kind, counted_in, blend_id, water_volume_ml, fill_pressure_pa, outlet, refillable, cutoff_pa)
			SELECT 1000 + i, printf('I%03d', i), 'four-gas', 1, 'gas', 'cylinder', (SELECT id FROM blends), 1000, 6900000, 'CGA C-10', 0, 200000 FROM n`,
		fmt.Sprintf(numbers, manyItems*lotsOfOne) + `INSERT INTO lots (id, supplier_id, blend_id, lot, lot_key, filled_on, assayed_on, label_expires_on, received_at, version)
			SELECT 1000 + i, (SELECT id FROM suppliers), (SELECT id FROM blends), printf('L%04d', i), printf('L%04d', i), '2026-10-01', '',
			CASE WHEN i % 10 = 0 THEN '2027-02-01' ELSE date('2027-06-01', '+' || (i % 97) || ' days') END, 1, 1 FROM n`,
		`INSERT INTO receipts (id, supplier_id, item_id, place_id, quantity, counted_in, typed, findings, settings_version, received_at, by_name)
			SELECT 1, (SELECT id FROM suppliers), 1000, (SELECT id FROM places), 500, 'cylinder', '{}', '[]', 1, 1, 'A'`,
		fmt.Sprintf(numbers, manyItems*ofAnItem) + `INSERT INTO cylinders (id, tag, item_id, lot_id, receipt_id, serial, stage, place_id, holder_id, held_since, pressure_pa, temperature_mk,
			coldest_mk, gauge, pressure_source, measured_at, received_at, opened_on, version)
			SELECT 1000 + i, printf('T%07d', i), 1000 + i / 500, 1000 + i / 50, 1, '', CASE WHEN i % 10 = 3 THEN 'opened' ELSE 'sealed' END,
			CASE WHEN i % 20 = 7 THEN NULL ELSE (SELECT id FROM places) END, CASE WHEN i % 20 = 7 THEN (SELECT id FROM people) END, 1,
			CASE WHEN i % 10 = 3 THEN 300000 + (i % 499) * 13000 ELSE 6900000 END, 0, 0, 'dial', CASE WHEN i % 10 = 3 THEN 'measured' ELSE 'fill' END, 1, i,
			CASE WHEN i % 10 = 3 THEN '2027-02-01' ELSE '' END, 1 FROM n`,
		`INSERT INTO holds (on_kind, on_id, on_name, reason, text, placed_at, placed_by, receiving, released_at, released_by, evidence)
			SELECT 'cylinder', id, tag, 'Management', '', 1, 'A', 0, 0, '', '' FROM cylinders WHERE id % 50 = 13`,
	} {
		if _, err := db.Exec(statement); err != nil {
			b.Fatalf("%v\n%s", err, statement)
		}
	}
}

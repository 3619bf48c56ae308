package store_test

import (
	"path/filepath"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

// firstRelease leaves a database as the first release left it, with a check-out and a source in it.
func firstRelease(t *testing.T, address string) {
	t.Helper()
	old, err := store.OpenFirst(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	db := second(t, address)
	furnish(t, db)
	exec(t, db,
		`INSERT INTO cylinders (id, tag, item_id, lot_id, receipt_id, serial, stage, place_id, held_since, pressure_pa, temperature_mk, coldest_mk, gauge,
			pressure_source, measured_at, received_at, opened_on, version)
			VALUES (101, '2222-222A', 101, 101, 101, '', 'sealed', 101, 0, 6900000, 294150, 294150, '', 'fill', 1, 1, '', 1)`,
		checkout,
		`INSERT INTO regulators (code, name, version, inlet, max_pressure_pa, minimum_inlet_pa, mode, flow_ml_min, body, place_id) VALUES ('R-1', 'R-1', 1, 'CGA C-10', 10300000, 0, 'fixed', 300, '', NULL)`,
		`UPDATE checkouts SET regulator = 'R-1'`,
		`INSERT INTO sources (item_id, supplier_id, position, article, pack, moq, price_minor, currency, minimum_life_days) VALUES (101, 101, 0, '00417', 1, 6, 7800, 'EUR', 180)`,
		`INSERT INTO versions (noun, code, version, doc, recorded_at, by_name) VALUES ('place', 'CAGE', 1, '{"code":"CAGE","version":1}', 1, 'Ada'), ('regulator', 'R-1', 1, '{"code":"R-1","version":1}', 9, 'Ada')`,
	)
	if err := old.Close(); err != nil {
		t.Fatal(err)
	}
}

// A site that began with the first release goes on with all that it had.
func TestFirstReleaseIsBroughtUpToDate(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		firstRelease(t, address)
		s := storetest.Open(t, address)
		rows, err := s.Checkouts(t.Context(), store.CheckoutFilter{Open: true, Limit: 10})
		if err != nil || len(rows) != 1 {
			t.Fatalf("%+v, %v", rows, err)
		}
		if o := rows[0].Checkout; rows[0].Tag != "2222-222A" || o.Cap != "" || o.Instruments != "[]" || o.ReturnedTo != "" || o.SetLeftOn {
			t.Errorf("%+v", rows[0])
		}
		sources, err := s.SourcesOf(t.Context(), gas4)
		if err != nil || len(sources) != 1 || sources[0].Article != "00417" || sources[0].GTIN != "" {
			t.Errorf("%+v, %v", sources, err)
		}
		if v, known, err := s.LatestVersion(t.Context(), "place", "CAGE"); err != nil || !known || v.Version != 1 {
			t.Errorf("%+v, %v", v, err)
		}
		if p, err := s.PieceByCode(t.Context(), "regulator", "R-1"); err != nil || p.ServicedAt != 0 || p.Uses != 1 { // the check-out was before the entry
			t.Errorf("%+v, %v", p, err)
		}
		goesOn(t, s, rows[0].Checkout)
		if store.IsPostgres(address) {
			return
		}
		if copies, err := filepath.Glob(address + ".before-*"); err != nil || len(copies) != 1 {
			t.Errorf("copies: %v, %v", copies, err)
		}
	})
}

// goesOn does with the old rows what the new columns are for.
func goesOn(t *testing.T, s *store.Store, out models.Checkout) {
	t.Helper()
	write(t, s, func(tx *store.Store) error {
		out.ReturnedAt, out.ReturnedTo, out.SetLeftOn = 2, "CAGE", true
		if err := tx.CloseCheckout(t.Context(), out); err != nil {
			return err
		}
		if _, err := tx.PutCatalogueRow(t.Context(), "cap", "C-1", 0, &models.Cap{Code: "C-1", Name: "C-1", Version: 1}); err != nil {
			return err
		}
		return tx.AddCheckout(t.Context(), &models.Checkout{CylinderID: out.CylinderID, HolderID: bram, Tests: "[]", Explained: "{}", Cap: "C-1", Instruments: `["D-001"]`, TakenAt: 3})
	})
	rows, err := s.Checkouts(t.Context(), store.CheckoutFilter{Limit: 10})
	if err != nil || len(rows) != 2 {
		t.Fatalf("%+v, %v", rows, err)
	}
	if last, first := rows[0], rows[1]; last.Cap != "C-1" || last.Instruments != `["D-001"]` || first.ReturnedTo != "CAGE" || !first.SetLeftOn || first.ReturnedAt != 2 {
		t.Errorf("%+v, %+v", last, first)
	}
}

// What a check-out says of its instruments is a list, or the database does not take it.
func TestCheckoutsListTheirInstruments(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, _ := stock(t, address)
		err := s.Tx(t.Context(), func(tx *store.Store) error {
			c, err := tx.CylinderByTag(t.Context(), "2222-222A")
			if err != nil {
				return err
			}
			return tx.AddCheckout(t.Context(), &models.Checkout{CylinderID: c.ID, HolderID: bram, Tests: "[]", Explained: "{}", Instruments: "D-001"})
		})
		if err == nil {
			t.Error("a serial alone was taken")
		}
	})
}

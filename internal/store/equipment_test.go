package store_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

// What is told of the pieces is what a look at every check-out finds.
func TestPiecesKnowTheirLastCheckOut(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		luck := rand.New(rand.NewPCG(3, 5))
		codes := []string{"A-1", "B-2", "C-3", "never"}
		entered, serviced := map[string]unit.Instant{}, map[string]unit.Instant{}
		write(t, s, func(tx *store.Store) error {
			for i, code := range codes {
				entered[code], serviced[code] = unit.Instant(luck.IntN(60)), unit.Instant(i*luck.IntN(30)) // the first one never
				if _, err := tx.PutCatalogueRow(t.Context(), "tubing", code, 0, &models.Tubing{Code: code, Name: code, Version: 2, Material: "FEP", Length: 600, ServicedAt: serviced[code]}); err != nil {
					return err
				}
				for version, at := range []unit.Instant{1, entered[code]} {
					v := models.Version{Noun: "tubing", Code: code, Version: int64(version + 1), Doc: fmt.Sprintf(`{"n":%d}`, version+1), RecordedAt: at}
					if err := tx.AddVersion(t.Context(), v); err != nil {
						return err
					}
				}
			}
			return nil
		})
		outs := make([]models.Checkout, 200)
		for i := range outs {
			taken := unit.Instant(2 + luck.IntN(60))
			outs[i] = models.Checkout{
				CylinderID: int64(1 + luck.IntN(2)), HolderID: bram, Purpose: "bump", Tests: "[]", Tubing: codes[luck.IntN(3)], TakenAt: taken, ReturnedAt: taken + 1,
				Explained: "{}", ReturnedTo: "VAN-1", SetLeftOn: luck.IntN(2) == 0, SettingsVersion: 1,
			}
		}
		outs[0].ReturnedAt = 0
		write(t, s, func(tx *store.Store) error {
			for i := range outs {
				if err := tx.AddCheckout(t.Context(), &outs[i]); err != nil {
					return err
				}
			}
			return nil
		})
		exec(t, db, `UPDATE cylinders SET place_id = 102 WHERE id = 1`, `UPDATE cylinders SET place_id = NULL, holder_id = 101, held_since = 77 WHERE id = 2`)

		rows, err := s.Pieces(t.Context(), "tubing")
		if err != nil || len(rows) != len(codes) {
			t.Fatalf("%+v %v", rows, err)
		}
		for i, row := range rows {
			want := pieceOf(codes[i], entered[codes[i]], serviced[codes[i]], outs)
			if row.ID = 0; row != want {
				t.Errorf("%+v, want %+v", row, want)
			}
			if one, err := s.PieceByCode(t.Context(), "tubing", codes[i]); err != nil || one.TakenAt != row.TakenAt || one.Uses != row.Uses {
				t.Errorf("%+v %v", one, err)
			}
		}
		if none, err := s.Pieces(t.Context(), "cap"); err != nil || len(none) != 0 {
			t.Errorf("%+v %v", none, err)
		}
		if _, err := s.PieceByCode(t.Context(), "cap", "A-1"); problem.KindOf(err) != problem.Missing {
			t.Errorf("a tubing is no cap: %v", err)
		}
	})
}

// pieceOf looks at every check-out.
func pieceOf(code string, entered, serviced unit.Instant, outs []models.Checkout) store.Piece {
	p := store.Piece{Code: code, Doc: `{"n":2}`, RecordedAt: entered, ServicedAt: serviced}
	outs = slices.DeleteFunc(slices.Clone(outs), func(o models.Checkout) bool { return o.Tubing != code })
	slices.SortFunc(outs, func(a, b models.Checkout) int { return int(a.TakenAt-b.TakenAt)*1000 + int(a.ID-b.ID) })
	for _, o := range outs {
		if o.TakenAt >= serviced {
			p.Uses++
		}
		p.CheckoutID, p.BlendID, p.Holder, p.TakenAt, p.ReturnedAt, p.ReturnedTo, p.SetLeftOn = o.ID, 101, "Bram", o.TakenAt, o.ReturnedAt, o.ReturnedTo, o.SetLeftOn
		p.Tag, p.CylinderPlace, p.CylinderHolder, p.CylinderHeldSince = "2222-222A", "VAN-1", "", 0
		if o.CylinderID == 2 {
			p.Tag, p.CylinderPlace, p.CylinderHolder, p.CylinderHeldSince = "3333-333B", "", "Bram", 77
		}
	}
	return p
}

func TestFormulasAndPlaceKinds(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		exec(t, db, `INSERT INTO components (id, code, name, version, formula, adsorbs) VALUES (901, 'chlorine', 'chlorine', 1, 'Cl2', TRUE), (902, 'odd', 'odd', 1, '', FALSE)`)
		formulas, err := s.Formulas(t.Context(), []string{"chlorine", "odd", "none"})
		if err != nil || len(formulas) != 1 || formulas["chlorine"] != "Cl2" {
			t.Errorf("%v %v", formulas, err)
		}
		if none, err := s.Formulas(t.Context(), nil); err != nil || len(none) != 0 {
			t.Errorf("%v %v", none, err)
		}
		kinds, err := s.PlaceKinds(t.Context())
		if err != nil || len(kinds) != 2 || kinds["CAGE"] != "cage" || kinds["VAN-1"] != "van" {
			t.Errorf("%v %v", kinds, err)
		}
	})
}

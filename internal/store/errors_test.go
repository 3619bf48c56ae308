package store_test

import (
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// What the rooms did not catch comes out the same from each database.
func TestBrokenConstraintsAreProblems(t *testing.T) {
	const session = "INSERT INTO sessions (token_hash, person_id, created_at, seen_at, expires_at) VALUES "
	const version = "INSERT INTO versions (noun, code, version, doc, recorded_at, by_name) VALUES "
	tests := []struct {
		name       string
		statements []string
		want       problem.Kind
	}{
		{"unique", []string{version + "('a', 'b', 1, '{}', 1, 'Ada')", version + "('a', 'b', 1, '{}', 1, 'Ada')"}, problem.Conflict},
		{"primary key of text", []string{session + "('h', 101, 1, 1, 1)", session + "('h', 101, 1, 1, 1)"}, problem.Conflict},
		{"primary key of a number", []string{"INSERT INTO places (id, code, name, version, kind) VALUES (101, 'X', '', 1, '')"}, problem.Conflict},
		{"unique in part", []string{checkout, checkout}, problem.Conflict},
		{"foreign", []string{session + "('h', 999, 1, 1, 1)"}, problem.Invalid},
		{"foreign at deletion", []string{"DELETE FROM suppliers WHERE id = 101"}, problem.Invalid},
		{"check", []string{"UPDATE people SET role = 'king' WHERE id = 101"}, problem.Invalid},
		{"check of JSON", []string{version + `('a', 'b', 1, '{"a":', 1, 'Ada')`}, problem.Invalid},
		{"check of a date", []string{"UPDATE lots SET filled_on = '1.10.2026' WHERE id = 101"}, problem.Invalid},
		{"check of two columns", []string{"UPDATE items SET blend_id = NULL WHERE id = 101"}, problem.Invalid},
		{"not null", []string{"UPDATE people SET name = NULL WHERE id = 101"}, problem.Invalid},
		{"trigger", []string{"DELETE FROM ledger"}, problem.Invalid},
		{"nonsense", []string{"INSERT INTO nowhere VALUES (1)"}, ""},
	}
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, _ := stock(t, address)
		for _, tt := range tests {
			t.Run(tt.name, func(t *testing.T) {
				err := s.Tx(t.Context(), func(tx *store.Store) error {
					for i, one := range tt.statements {
						if err := tx.Exec(t.Context(), one); err != nil {
							if i != len(tt.statements)-1 {
								t.Errorf("too early: %v", err)
							}
							return err
						}
					}
					return nil
				})
				if err == nil || problem.KindOf(err) != tt.want {
					t.Errorf("%q: %v, want %q", problem.KindOf(err), err, tt.want)
				}
			})
		}
	})
}

const checkout = `INSERT INTO checkouts (cylinder_id, holder_id, purpose, tests, from_on, until_on, regulator, tubing, need_ml, taken_at, out_pressure_pa,
	out_temperature_mk, out_gauge, out_source, returned_at, in_pressure_pa, in_temperature_mk, in_gauge, measured_ml, expected_ml, threshold_ml, verdict,
	explained, settings_version, version) SELECT id, 101, 'bump', '[]', '', '', '', '', 0, 1, 0, 0, '', '', 0, 0, 0, '', 0, 0, 0, '', '{}', 1, 1
	FROM cylinders WHERE tag = '2222-222A'`

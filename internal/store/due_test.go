package store_test

import (
	"cmp"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

// The way from pair to pair finds what a look at every test finds, whatever the order in which they were recorded.
func TestLastTestsAreThoseOfAllTests(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		for _, empty := range []unit.Instant{0, 100} {
			if rows, err := s.LastTests(t.Context(), empty); err != nil || len(rows) != 0 {
				t.Errorf("without a test: %+v, %v", rows, err)
			}
		}
		exec(t, db, testedBy...)
		luck := rand.New(rand.NewPCG(7, 11))
		tests := make([]models.Test, 400)
		for i := range tests {
			tests[i] = models.Test{
				ID: int64(i + 1), CheckoutID: 101, Instrument: fmt.Sprintf("D-%02d", luck.IntN(12)), ProcedureID: 11 + luck.Int64N(3), Result: "pass",
				Attempts: 1, Readings: "{}", Valid: luck.IntN(4) > 0, HappenedAt: unit.Instant(1 + luck.IntN(60)),
			}
			if luck.IntN(4) == 0 {
				tests[i].Result = "fail"
			}
		}
		write(t, s, func(tx *store.Store) error { return tx.AddTests(t.Context(), slices.Clone(tests)) })
		for _, before := range []unit.Instant{1, 2, 9, 33, 61} {
			rows, err := s.LastTests(t.Context(), before)
			if err != nil {
				t.Fatal(err)
			}
			slices.SortFunc(rows, func(a, b store.LastTest) int {
				return cmp.Or(cmp.Compare(a.Instrument, b.Instrument), cmp.Compare(a.ProcedureID, b.ProcedureID))
			})
			if want := lastOf(tests, before); !slices.Equal(rows, want) {
				t.Errorf("before %d:\n%+v, want\n%+v", before, rows, want)
			}
		}
	})
}

// testedBy are three procedures, and a check-out on which tests may hang.
var testedBy = []string{
	`INSERT INTO procedures (id, code, name, version, purpose, flow_ml_min, duration_s, purge_ml, conditioning_s)
		VALUES (11, 'bump', 'bump', 1, 'bump', 300, 30, 0, 0), (12, 'cal', 'cal', 1, 'calibration', 300, 120, 0, 0), (13, 'zero', 'zero', 1, 'zero', 300, 60, 0, 0)`,
	`INSERT INTO checkouts (id, cylinder_id, holder_id, purpose, tests, from_on, until_on, regulator, tubing, need_ml, taken_at, out_pressure_pa,
		out_temperature_mk, out_gauge, out_source, returned_at, in_pressure_pa, in_temperature_mk, in_gauge, measured_ml, expected_ml, threshold_ml,
		verdict, explained, settings_version, version)
		VALUES (101, 1, 101, 'bump', '[]', '', '', '', '', 0, 5, 0, 0, '', 'fill', 9, 0, 0, '', 0, 0, 0, '', '{}', 1, 1)`,
}

// lastOf looks at every test.
func lastOf(tests []models.Test, before unit.Instant) []store.LastTest {
	last := map[string]store.LastTest{}
	inTime := slices.DeleteFunc(slices.Clone(tests), func(t models.Test) bool { return t.HappenedAt >= before })
	slices.SortStableFunc(inTime, func(a, b models.Test) int { return cmp.Compare(a.HappenedAt, b.HappenedAt) })
	for _, t := range inTime {
		key := fmt.Sprint(t.Instrument, t.ProcedureID)
		passed := last[key].PassedAt
		if t.Valid && t.Result == "pass" {
			passed = t.HappenedAt
		}
		last[key] = store.LastTest{Instrument: t.Instrument, ProcedureID: t.ProcedureID, HappenedAt: t.HappenedAt, Result: t.Result, Valid: t.Valid, PassedAt: passed}
	}
	all := []store.LastTest{}
	for _, key := range slices.Sorted(maps.Keys(last)) {
		all = append(all, last[key])
	}
	return all
}

func TestVersionsAsTheyWere(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		write(t, s, func(tx *store.Store) error {
			for _, v := range []models.Version{
				{Noun: "instrument", Code: "D-002", Version: 1, Doc: `{}`, RecordedAt: 20},
				{Noun: "instrument", Code: "D-001", Version: 1, Doc: `{}`, RecordedAt: 10},
				{Noun: "instrument", Code: "D-001", Version: 2, Doc: `{"note":"moved"}`, RecordedAt: 30},
				{Noun: "model", Code: "D-001", Version: 3, Doc: `{}`, RecordedAt: 5},
			} {
				if err := tx.AddVersion(t.Context(), v); err != nil {
					return err
				}
			}
			return nil
		})
		for before, want := range map[unit.Instant]string{10: "", 11: "D-001 1 ", 21: "D-001 1 D-002 1 ", 31: "D-001 2 D-002 1 "} {
			rows, err := s.VersionsBefore(t.Context(), "instrument", before)
			if err != nil {
				t.Fatal(err)
			}
			got := ""
			for _, v := range rows {
				got += fmt.Sprint(v.Code, " ", v.Version, " ")
			}
			if got != want {
				t.Errorf("before %d: %q, want %q", before, got, want)
			}
		}
	})
}

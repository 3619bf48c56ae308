package store

import (
	"context"

	"spanroom/models"
)

// AddTests keeps tests that were done on a check-out.
func (s *Store) AddTests(ctx context.Context, tests []models.Test) error {
	if len(tests) == 0 {
		return nil
	}
	return s.db(ctx).CreateInBatches(&tests, 100).Error
}

// TestRow is a test with its procedure.
type TestRow struct {
	models.Test
	Procedure string `gorm:"column:procedure"`
	Purpose   string `gorm:"column:purpose"`
}

// TestsOf lists the tests of a check-out in the order in which they were recorded.
func (s *Store) TestsOf(ctx context.Context, checkoutID int64) ([]TestRow, error) {
	var rows []TestRow
	err := s.db(ctx).Raw(`SELECT t.*, p.code AS procedure, p.purpose FROM tests t JOIN procedures p ON p.id = t.procedure_id
		WHERE t.checkout_id = ? ORDER BY t.id`, checkoutID).Scan(&rows).Error
	return rows, err
}

// ProceduresByID gives several procedures at once.
func (s *Store) ProceduresByID(ctx context.Context, ids []int64) (map[int64]models.Procedure, error) {
	return byID(ctx, s, ids, func(p models.Procedure) int64 { return p.ID })
}

// ProceduresFor lists the procedures of a purpose with a blend, or where there is none those that take any gas.
func (s *Store) ProceduresFor(ctx context.Context, blendID int64, purpose string) ([]models.Procedure, error) {
	var own []models.Procedure
	err := s.db(ctx).Where("purpose = ? AND blend_id = ?", purpose, blendID).Order("code").Find(&own).Error
	if err != nil || len(own) > 0 {
		return own, err
	}
	var any []models.Procedure
	err = s.db(ctx).Where("purpose = ? AND blend_id IS NULL", purpose).Order("code").Find(&any).Error
	return any, err
}

// KnownInstruments tells which of these serials are in the catalogue.
func (s *Store) KnownInstruments(ctx context.Context, serials []string) (map[string]bool, error) {
	var codes []string
	err := s.db(ctx).Model(&models.Instrument{}).Where("code IN ?", serials).Pluck("code", &codes).Error
	known := make(map[string]bool, len(codes))
	for _, code := range codes {
		known[code] = true
	}
	return known, err
}

// RegulatorHolds lists the standing holds on regulators, by the regulator's id.
func (s *Store) RegulatorHolds(ctx context.Context) (map[int64][]models.Hold, error) {
	var rows []models.Hold
	err := s.db(ctx).Where("released_at = 0 AND on_kind = 'regulator'").Order("placed_at, id").Find(&rows).Error
	holds := map[int64][]models.Hold{}
	for _, h := range rows {
		holds[h.OnID] = append(holds[h.OnID], h)
	}
	return holds, err
}

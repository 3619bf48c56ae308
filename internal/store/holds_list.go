package store

import (
	"context"

	"spanroom/models"
)

// HoldStanding gives the hold of a reason that stands on one thing itself, or false.
func (s *Store) HoldStanding(ctx context.Context, kind string, id int64, reason string) (models.Hold, bool, error) {
	var rows []models.Hold
	err := s.db(ctx).Where("released_at = 0 AND on_kind = ? AND on_id = ? AND reason = ?", kind, id, reason).Order("id").Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return models.Hold{}, false, err
	}
	return rows[0], true, nil
}

// CountHolds counts the holds that stand.
func (s *Store) CountHolds(ctx context.Context) (int64, error) {
	var n int64
	err := s.db(ctx).Model(&models.Hold{}).Where("released_at = 0").Count(&n).Error
	return n, err
}

// HoldsAfter lists standing holds of some reasons, or of every reason for none, in the order in which they were placed,
// after one of them.
func (s *Store) HoldsAfter(ctx context.Context, reasons []string, after int64, limit int) ([]models.Hold, error) {
	var rows []models.Hold
	q := s.db(ctx).Where("released_at = 0 AND id > ?", after)
	if len(reasons) > 0 {
		q = q.Where("reason IN ?", reasons)
	}
	err := q.Order("id").Limit(limit).Find(&rows).Error
	return rows, err
}

// CylindersOut lists the cylinders that people have among those that a hold of this kind concerns.
func (s *Store) CylindersOut(ctx context.Context, kind string, id int64) ([]models.Cylinder, error) {
	column := map[string]string{"cylinder": "id", "lot": "lot_id", "item": "item_id"}[kind]
	if column == "" {
		return nil, nil
	}
	var rows []models.Cylinder
	err := s.db(ctx).Where("holder_id IS NOT NULL AND "+column+" = ?", id).Order("id").Find(&rows).Error
	return rows, err
}

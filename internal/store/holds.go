package store

import (
	"context"
	"fmt"

	"spanroom/internal/problem"
	"spanroom/models"
)

// AddHold keeps a new hold.
func (s *Store) AddHold(ctx context.Context, h *models.Hold) error { return s.db(ctx).Create(h).Error }

// HoldByID gives one hold, standing or released.
func (s *Store) HoldByID(ctx context.Context, id int64) (models.Hold, error) {
	var h models.Hold
	err := found(s.db(ctx).Where("id = ?", id).Take(&h).Error, "hold", fmt.Sprint(id))
	return h, err
}

// ReleaseHold ends a hold that still stands.
func (s *Store) ReleaseHold(ctx context.Context, h models.Hold) error {
	res := s.db(ctx).Exec("UPDATE holds SET released_at = ?, released_by = ?, evidence = ? WHERE id = ? AND released_at = 0",
		h.ReleasedAt, h.ReleasedBy, h.Evidence, h.ID)
	if res.Error == nil && res.RowsAffected != 1 {
		return problem.New(problem.Conflict, fmt.Sprintf("hold %d was released by somebody else just now", h.ID), "look at the cylinder again")
	}
	return res.Error
}

// StandingHolds lists the holds that stand, oldest first.
func (s *Store) StandingHolds(ctx context.Context) ([]models.Hold, error) {
	var rows []models.Hold
	err := s.db(ctx).Where("released_at = 0").Order("placed_at, id").Find(&rows).Error
	return rows, err
}

// HoldsOn lists the standing holds on items, their lots and their cylinders, and on a regulator where one is given.
func (s *Store) HoldsOn(ctx context.Context, itemIDs, lotIDs []int64, regulatorID int64) ([]models.Hold, error) {
	var rows []models.Hold
	if len(itemIDs) == 0 {
		itemIDs = []int64{0}
	}
	if len(lotIDs) == 0 {
		lotIDs = []int64{0}
	}
	err := s.db(ctx).Where(`released_at = 0 AND (on_kind = 'item' AND on_id IN ? OR on_kind = 'lot' AND on_id IN ?
		OR on_kind = 'cylinder' AND on_id IN (SELECT id FROM cylinders WHERE item_id IN ?) OR on_kind = 'regulator' AND on_id = ?)`,
		itemIDs, lotIDs, itemIDs, regulatorID).Order("placed_at, id").Find(&rows).Error
	return rows, err
}

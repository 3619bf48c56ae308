package store

import (
	"context"

	"spanroom/internal/unit"
)

// Used is a part of the past use of an item: so much left the store, or so many tests were made with it.
type Used struct {
	ItemID     int64        `gorm:"column:item_id"`
	HappenedAt unit.Instant `gorm:"column:happened_at"`
	Quantity   int64        `gorm:"column:quantity"` // mL of gas, pieces, or mm
	Tests      int64        `gorm:"column:tests"`
}

// standing leaves out of the ledger l what was reversed, and what reverses.
const standing = ` AND l.reverses IS NULL AND NOT EXISTS (SELECT 1 FROM ledger r WHERE r.reverses = l.seq)`

// GasUsed lists the gas that was used since an instant, by the item of the cylinder that it came from.
func (s *Store) GasUsed(ctx context.Context, since unit.Instant) ([]Used, error) {
	var rows []Used
	err := s.db(ctx).Raw(`SELECT c.item_id, l.happened_at, -l.quantity AS quantity
		FROM ledger l JOIN cylinders c ON c.tag = substr(l.subject, 10)
		WHERE l.kind = 'use' AND l.unit = 'mL' AND l.happened_at >= ? AND l.subject LIKE 'cylinder:%'`+standing, since).Scan(&rows).Error
	return rows, err
}

// ConsumablesUsed lists the consumables that were handed out since an instant.
func (s *Store) ConsumablesUsed(ctx context.Context, since unit.Instant) ([]Used, error) {
	var rows []Used
	err := s.db(ctx).Raw(`SELECT i.id AS item_id, l.happened_at, -l.quantity AS quantity
		FROM ledger l JOIN items i ON i.code = substr(l.subject, 6)
		WHERE l.kind = 'issue' AND l.quantity < 0 AND l.happened_at >= ? AND l.subject LIKE 'item:%'`+standing, since).Scan(&rows).Error
	return rows, err
}

// TestsMade counts the tests since an instant, a row for each outing of a cylinder.
func (s *Store) TestsMade(ctx context.Context, since unit.Instant) ([]Used, error) {
	var rows []Used
	err := s.db(ctx).Raw(`SELECT c.item_id, MAX(t.happened_at) AS happened_at, COUNT(*) AS tests
		FROM tests t JOIN checkouts o ON o.id = t.checkout_id JOIN cylinders c ON c.id = o.cylinder_id
		WHERE t.happened_at >= ? GROUP BY c.item_id, t.checkout_id`, since).Scan(&rows).Error
	return rows, err
}

// OutPast gives the cylinders that are out and were to be back before a day, each with the day that was planned.
func (s *Store) OutPast(ctx context.Context, day unit.Date) (map[int64]unit.Date, error) {
	var rows []struct {
		CylinderID int64     `gorm:"column:cylinder_id"`
		UntilOn    unit.Date `gorm:"column:until_on"`
	}
	err := s.db(ctx).Raw("SELECT cylinder_id, until_on FROM checkouts WHERE returned_at = 0 AND until_on <> '' AND until_on < ?", day).Scan(&rows).Error
	late := make(map[int64]unit.Date, len(rows))
	for _, r := range rows {
		late[r.CylinderID] = r.UntilOn
	}
	return late, err
}

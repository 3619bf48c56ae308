package store

import (
	"context"

	"spanroom/internal/unit"
	"spanroom/models"
)

// Told is an act with what the rules said of it and what people answered, as it was kept then.
type Told struct {
	ID       int64        `gorm:"column:id"`
	At       unit.Instant `gorm:"column:at"`
	By       string       `gorm:"column:by_name"`
	Tag      unit.Tag     `gorm:"column:tag"`      // of an outing
	Doc      string       `gorm:"column:doc"`      // of an outing why it was decided as it was; of goods in what was typed
	Findings string       `gorm:"column:findings"` // of goods in
	Item     string       `gorm:"column:item"`     // of goods in, as is what follows
	Lot      string       `gorm:"column:lot"`
}

// TakenBetween lists the check-outs from one moment to before another. Who booked one need not be who took the cylinder:
// the ledger knows, and leads to the check-outs of a time by its index.
func (s *Store) TakenBetween(ctx context.Context, from, until unit.Instant) ([]Told, error) {
	return s.told(ctx, `SELECT o.id, o.taken_at AS at, l.by_name, c.tag, o.explained AS doc
		FROM ledger l JOIN cylinders c ON c.tag = SUBSTR(l.subject, 10) JOIN checkouts o ON o.cylinder_id = c.id AND o.taken_at = l.happened_at
		WHERE l.kind = 'check_out' AND l.quantity = 1 AND l.happened_at >= ? AND l.happened_at < ? ORDER BY o.id`, from, until)
}

// ReturnedBetween lists the check-outs that ended in a time. Who brought the cylinder back is in the document.
func (s *Store) ReturnedBetween(ctx context.Context, from, until unit.Instant) ([]Told, error) {
	return s.told(ctx, `SELECT o.id, o.returned_at AS at, c.tag, o.explained AS doc FROM checkouts o JOIN cylinders c ON c.id = o.cylinder_id
		WHERE o.returned_at >= ? AND o.returned_at < ? ORDER BY o.id`, from, until)
}

// ReceivedBetween lists goods in of a time.
func (s *Store) ReceivedBetween(ctx context.Context, from, until unit.Instant) ([]Told, error) {
	return s.told(ctx, `SELECT r.id, r.received_at AS at, r.by_name, r.typed AS doc, r.findings, i.code AS item, COALESCE(l.lot, '') AS lot
		FROM receipts r JOIN items i ON i.id = r.item_id LEFT JOIN lots l ON l.id = r.lot_id
		WHERE r.received_at >= ? AND r.received_at < ? ORDER BY r.id`, from, until)
}

func (s *Store) told(ctx context.Context, query string, from, until unit.Instant) ([]Told, error) {
	var rows []Told
	err := s.db(ctx).Raw(query, from, until).Scan(&rows).Error
	return rows, err
}

// ArrivalsReleased lists the holds of goods in that were released in a time. What the first gauge finds low is one of them.
func (s *Store) ArrivalsReleased(ctx context.Context, from, until unit.Instant) ([]models.Hold, error) {
	var rows []models.Hold
	err := s.db(ctx).Where("(receiving = ? OR reason = 'Low on arrival') AND released_at >= ? AND released_at < ?", true, from, until).Order("id").Find(&rows).Error
	return rows, err
}

// EntriesWithReasons lists the ledger's entries of some kinds in a time that carry a reason; a move is there once.
func (s *Store) EntriesWithReasons(ctx context.Context, kinds []string, from, until unit.Instant) ([]models.Entry, error) {
	var rows []models.Entry
	err := s.db(ctx).Where(`kind IN ? AND happened_at >= ? AND happened_at < ? AND reason <> '' AND NOT (unit = 'cylinder' AND quantity < 0)`,
		kinds, from, until).Order("seq").Find(&rows).Error
	return rows, err
}

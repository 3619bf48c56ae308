package store

import (
	"context"

	"spanroom/internal/unit"
	"spanroom/models"
)

// Outing is a check-out that has not come back, with the names that a list of them shows.
type Outing struct {
	ID      int64        `gorm:"column:id"`
	Tag     unit.Tag     `gorm:"column:tag"`
	Item    string       `gorm:"column:item"`
	Holder  string       `gorm:"column:holder"`
	Place   string       `gorm:"column:place"`
	Purpose string       `gorm:"column:purpose"`
	TakenAt unit.Instant `gorm:"column:taken_at"`
	UntilOn unit.Date    `gorm:"column:until_on"`
}

// OutNow lists what is out, the earliest planned return first: of one person, or of everybody for 0.
func (s *Store) OutNow(ctx context.Context, holderID int64, limit int) ([]Outing, error) {
	var rows []Outing
	err := s.db(ctx).Raw(`SELECT o.id, c.tag, i.code AS item, h.name AS holder, COALESCE(p.code, '') AS place, o.purpose, o.taken_at, o.until_on
		FROM checkouts o JOIN cylinders c ON c.id = o.cylinder_id JOIN items i ON i.id = c.item_id JOIN people h ON h.id = o.holder_id
		LEFT JOIN places p ON p.id = o.place_id
		WHERE o.returned_at = 0 AND (? = 0 OR o.holder_id = ?) ORDER BY o.until_on, o.id LIMIT ?`, holderID, holderID, limit).Scan(&rows).Error
	return rows, err
}

// CountLate counts what is out past its planned day.
func (s *Store) CountLate(ctx context.Context, today unit.Date) (int64, error) {
	var n int64
	err := s.db(ctx).Model(&models.Checkout{}).Where("returned_at = 0 AND until_on < ?", today).Count(&n).Error
	return n, err
}

// Alike is one cylinder for a number of them that have the same use-by: sealed ones of one lot and item, in the same hands
// or at the same place where a list of them tells that. An opened one stands for itself.
type Alike struct {
	models.Cylinder
	Number int64 `gorm:"column:number"`
}

// OnHandAlike lists what may still be used, like for like and where it is, so that a use-by is worked out once for many.
func (s *Store) OnHandAlike(ctx context.Context) ([]Alike, error) {
	var rows []Alike
	err := s.db(ctx).Raw(`SELECT c.*, g.number FROM cylinders c JOIN (
			SELECT MIN(id) AS id, COUNT(*) AS number FROM cylinders WHERE stage IN ('received', 'sealed')
				GROUP BY lot_id, item_id, certificate_id, place_id, holder_id
			UNION ALL SELECT id, 1 FROM cylinders WHERE stage = 'opened'
		) g ON g.id = c.id ORDER BY c.id`).Scan(&rows).Error
	return rows, err
}

// AtHandAlike is OnHandAlike for some items and without what somebody has; what is opened stands for itself here too.
func (s *Store) AtHandAlike(ctx context.Context, itemIDs []int64) ([]Alike, error) {
	var rows []Alike
	err := s.db(ctx).Raw(`SELECT c.*, g.number FROM cylinders c JOIN (
			SELECT MIN(id) AS id, COUNT(*) AS number FROM cylinders WHERE item_id IN ? AND stage IN ('received', 'sealed') AND holder_id IS NULL
				GROUP BY item_id, stage, holder_id, lot_id, certificate_id
			UNION ALL SELECT id, 1 FROM cylinders WHERE item_id IN ? AND stage = 'opened' AND holder_id IS NULL
		) g ON g.id = c.id ORDER BY c.id`, itemIDs, itemIDs).Scan(&rows).Error
	return rows, err
}

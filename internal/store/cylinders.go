package store

import (
	"context"
	"strings"

	"gorm.io/gorm"

	"spanroom/internal/unit"
	"spanroom/models"
)

// CylinderFilter narrows a list of cylinders; what is zero does not narrow. Rows follow one another by id.
type CylinderFilter struct {
	ItemIDs      []int64
	LotID        int64
	PlaceID      int64
	HolderID     int64
	LastHolderID int64 // who has it, or had it last
	Stages       []string
	Text         string // part of a tag, lot or serial
	After        int64
	Limit        int // 0 for all
}

func (f CylinderFilter) narrow(q *gorm.DB) *gorm.DB {
	if len(f.ItemIDs) > 0 {
		q = q.Where("cylinders.item_id IN ?", f.ItemIDs)
	}
	if f.LotID != 0 {
		q = q.Where("cylinders.lot_id = ?", f.LotID)
	}
	if f.PlaceID != 0 {
		q = q.Where("cylinders.place_id = ?", f.PlaceID)
	}
	if f.HolderID != 0 {
		q = q.Where("cylinders.holder_id = ?", f.HolderID)
	}
	if f.LastHolderID != 0 {
		q = q.Where(`cylinders.id IN (SELECT o.cylinder_id FROM checkouts o WHERE o.holder_id = ?
			AND NOT EXISTS (SELECT 1 FROM checkouts later WHERE later.cylinder_id = o.cylinder_id AND (later.taken_at > o.taken_at OR later.taken_at = o.taken_at AND later.id > o.id)))`, f.LastHolderID)
	}
	if len(f.Stages) > 0 {
		q = q.Where("cylinders.stage IN ?", f.Stages)
	}
	if text := strings.TrimSpace(f.Text); text != "" {
		like := "%" + likeText(strings.ToUpper(text)) + "%"
		q = q.Where(`UPPER(cylinders.tag) LIKE ? ESCAPE '!' OR REPLACE(cylinders.tag, '-', '') LIKE ? ESCAPE '!' OR UPPER(cylinders.serial) LIKE ? ESCAPE '!'
			OR cylinders.lot_id IN (SELECT id FROM lots WHERE lot_key LIKE ? ESCAPE '!')`, like, like, like, like)
	}
	if f.After != 0 {
		q = q.Where("cylinders.id > ?", f.After)
	}
	if f.Limit != 0 {
		q = q.Limit(f.Limit)
	}
	return q
}

// likeText takes the meaning out of the wildcards in a text that somebody typed.
func likeText(text string) string {
	return strings.NewReplacer("!", "!!", "%", "!%", "_", "!_").Replace(text)
}

const cylinderColumns = `id, tag, item_id, lot_id, receipt_id, certificate_id, serial, stage, place_id, holder_id, held_since, checkout_id,
	pressure_pa, temperature_mk, coldest_mk, gauge, pressure_source, measured_at, received_at, opened_on, version`

// Cylinders lists the cylinders that pass a filter. It is on the way of every recommendation, so it scans by hand.
func (s *Store) Cylinders(ctx context.Context, f CylinderFilter) ([]models.Cylinder, error) {
	rows, err := f.narrow(s.db(ctx).Table("cylinders").Select(cylinderColumns)).Order("cylinders.id").Rows()
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var list []models.Cylinder
	for rows.Next() {
		var c models.Cylinder
		if err := rows.Scan(&c.ID, &c.Tag, &c.ItemID, &c.LotID, &c.ReceiptID, &c.CertificateID, &c.Serial, &c.Stage, &c.PlaceID,
			&c.HolderID, &c.HeldSince, &c.CheckoutID, &c.Pressure, &c.Temperature, &c.Coldest, &c.Gauge, &c.PressureSource,
			&c.MeasuredAt, &c.ReceivedAt, &c.OpenedOn, &c.Version); err != nil {
			return nil, err
		}
		list = append(list, c)
	}
	return list, rows.Err()
}

// CylinderByTag gives one cylinder.
func (s *Store) CylinderByTag(ctx context.Context, tag unit.Tag) (models.Cylinder, error) {
	var c models.Cylinder
	err := s.db(ctx).Where("tag = ?", tag).Take(&c).Error
	return c, found(err, "cylinder", string(tag))
}

// TagTaken tells whether a tag has ever been given out.
func (s *Store) TagTaken(ctx context.Context, tag unit.Tag) (bool, error) {
	var n int64
	err := s.db(ctx).Model(&models.Cylinder{}).Where("tag = ?", tag).Count(&n).Error
	return n > 0, err
}

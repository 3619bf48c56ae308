package store

import (
	"context"
	"fmt"

	"spanroom/models"
)

// ReceiptLine is one line of goods in with the names of what it refers to.
type ReceiptLine struct {
	models.Receipt
	Supplier     string `gorm:"column:supplier"`
	SupplierName string `gorm:"column:supplier_name"`
	Item         string `gorm:"column:item"`
	ItemName     string `gorm:"column:item_name"`
	Lot          string `gorm:"column:lot"`
	Blend        string `gorm:"column:blend"`
	Place        string `gorm:"column:place"`
	OnHold       int64  `gorm:"column:on_hold"` // cylinders that a hold of goods in still keeps
}

const receiptLines = `SELECT r.*, s.code AS supplier, s.name AS supplier_name, i.code AS item, i.name AS item_name,
	COALESCE(l.lot, '') AS lot, COALESCE(b.code, '') AS blend, p.code AS place,
	(SELECT COUNT(*) FROM cylinders c WHERE c.receipt_id = r.id AND c.stage = 'received') AS on_hold
	FROM receipts r JOIN suppliers s ON s.id = r.supplier_id JOIN items i ON i.id = r.item_id
	JOIN places p ON p.id = r.place_id LEFT JOIN lots l ON l.id = r.lot_id LEFT JOIN blends b ON b.id = l.blend_id`

// AddReceipt keeps a new line of goods in.
func (s *Store) AddReceipt(ctx context.Context, r *models.Receipt) error {
	return s.db(ctx).Create(r).Error
}

// ReceiptByID gives one line of goods in.
func (s *Store) ReceiptByID(ctx context.Context, id int64) (ReceiptLine, error) {
	var line ReceiptLine
	err := found(s.db(ctx).Raw(receiptLines+` WHERE r.id = ?`, id).Take(&line).Error, "receipt", fmt.Sprint(id))
	return line, err
}

// Receipts lists goods in, newest first, those before a receipt; before 0 it begins with the latest.
func (s *Store) Receipts(ctx context.Context, before int64, limit int) ([]ReceiptLine, error) {
	var rows []ReceiptLine
	err := s.db(ctx).Raw(receiptLines+` WHERE (? = 0 OR r.id < ?) ORDER BY r.id DESC LIMIT ?`, before, before, limit).Scan(&rows).Error
	return rows, err
}

// CylindersOfReceipt lists the cylinders that came with one line of goods in, as they are now.
func (s *Store) CylindersOfReceipt(ctx context.Context, receiptID int64) ([]models.Cylinder, error) {
	var rows []models.Cylinder
	err := s.db(ctx).Where("receipt_id = ?", receiptID).Order("id").Find(&rows).Error
	return rows, err
}

// CylindersBySerials lists every fill that any of a supplier's serials has been seen on, oldest first.
func (s *Store) CylindersBySerials(ctx context.Context, supplierID int64, serials []string) ([]models.Cylinder, error) {
	var rows []models.Cylinder
	if len(serials) == 0 {
		return rows, nil
	}
	err := s.db(ctx).Where("serial IN ? AND lot_id IN (SELECT id FROM lots WHERE supplier_id = ?)", serials, supplierID).Order("id").Find(&rows).Error
	return rows, err
}

// HeldOnArrival lists the cylinders that still wait in stage received and that a hold on this kind of thing concerns.
func (s *Store) HeldOnArrival(ctx context.Context, onKind string, onID int64) ([]models.Cylinder, error) {
	column := map[string]string{"cylinder": "id", "lot": "lot_id", "item": "item_id"}[onKind]
	if column == "" {
		return nil, nil
	}
	var rows []models.Cylinder
	err := s.db(ctx).Where("stage = 'received' AND "+column+" = ?", onID).Order("id").Find(&rows).Error
	return rows, err
}

// CylindersAtPlaces counts the cylinders that stand at each place, by its id.
func (s *Store) CylindersAtPlaces(ctx context.Context) (map[int64]int64, error) {
	var rows []struct {
		PlaceID int64
		N       int64
	}
	err := s.db(ctx).Raw("SELECT place_id, COUNT(*) AS n FROM cylinders WHERE place_id IS NOT NULL GROUP BY place_id").Scan(&rows).Error
	counts := make(map[int64]int64, len(rows))
	for _, r := range rows {
		counts[r.PlaceID] = r.N
	}
	return counts, err
}

// Places lists every place by its code.
func (s *Store) Places(ctx context.Context) ([]models.Place, error) {
	var rows []models.Place
	err := s.db(ctx).Order("code").Find(&rows).Error
	return rows, err
}

// LotHolds lists the standing holds on one lot itself.
func (s *Store) LotHolds(ctx context.Context, lotID int64) ([]models.Hold, error) {
	var rows []models.Hold
	err := s.db(ctx).Where("released_at = 0 AND on_kind = 'lot' AND on_id = ?", lotID).Order("placed_at, id").Find(&rows).Error
	return rows, err
}

// AssignCertificate says that a document is of one cylinder alone.
func (s *Store) AssignCertificate(ctx context.Context, certificateID, cylinderID int64) error {
	return s.db(ctx).Exec("UPDATE certificates SET cylinder_id = ? WHERE id = ?", cylinderID, certificateID).Error
}

package models

import "spanroom/internal/unit"

// Lot is one making of a blend by one supplier.
type Lot struct {
	ID             int64        `gorm:"column:id;primaryKey"`
	SupplierID     int64        `gorm:"column:supplier_id"`
	BlendID        int64        `gorm:"column:blend_id"`
	Lot            string       `gorm:"column:lot"`
	LotKey         string       `gorm:"column:lot_key"`
	FilledOn       unit.Date    `gorm:"column:filled_on"`
	AssayedOn      unit.Date    `gorm:"column:assayed_on"`
	LabelExpiresOn unit.Date    `gorm:"column:label_expires_on"`
	CertificateID  *int64       `gorm:"column:certificate_id"`
	ReceivedAt     unit.Instant `gorm:"column:received_at"`
	Version        int64        `gorm:"column:version"`
}

// TableName is the table of Lot.
func (Lot) TableName() string { return "lots" }

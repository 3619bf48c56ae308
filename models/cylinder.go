package models

import "spanroom/internal/unit"

// Cylinder is one fill of one cylinder under our own tag.
type Cylinder struct {
	ID             int64            `gorm:"column:id;primaryKey"`
	Tag            unit.Tag         `gorm:"column:tag"`
	ItemID         int64            `gorm:"column:item_id"`
	LotID          int64            `gorm:"column:lot_id"`
	ReceiptID      int64            `gorm:"column:receipt_id"`
	CertificateID  *int64           `gorm:"column:certificate_id"`
	Serial         string           `gorm:"column:serial"`
	Stage          string           `gorm:"column:stage"`
	PlaceID        *int64           `gorm:"column:place_id"`
	HolderID       *int64           `gorm:"column:holder_id"`
	HeldSince      unit.Instant     `gorm:"column:held_since"`
	CheckoutID     *int64           `gorm:"column:checkout_id"`
	Pressure       unit.Pressure    `gorm:"column:pressure_pa"`
	Temperature    unit.Temperature `gorm:"column:temperature_mk"`
	Coldest        unit.Temperature `gorm:"column:coldest_mk"`
	Gauge          string           `gorm:"column:gauge"`
	PressureSource string           `gorm:"column:pressure_source"`
	MeasuredAt     unit.Instant     `gorm:"column:measured_at"`
	ReceivedAt     unit.Instant     `gorm:"column:received_at"`
	OpenedOn       unit.Date        `gorm:"column:opened_on"`
	Version        int64            `gorm:"column:version"`
}

// TableName is the table of Cylinder.
func (Cylinder) TableName() string { return "cylinders" }

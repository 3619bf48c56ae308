package models

import "spanroom/internal/unit"

// Receipt is one line of goods in, with what was typed.
type Receipt struct {
	ID              int64        `gorm:"column:id;primaryKey"`
	SupplierID      int64        `gorm:"column:supplier_id"`
	ItemID          int64        `gorm:"column:item_id"`
	LotID           *int64       `gorm:"column:lot_id"`
	PlaceID         int64        `gorm:"column:place_id"`
	Quantity        int64        `gorm:"column:quantity"`
	CountedIn       string       `gorm:"column:counted_in"`
	Typed           string       `gorm:"column:typed"`
	Findings        string       `gorm:"column:findings"`
	SettingsVersion int64        `gorm:"column:settings_version"`
	ReceivedAt      unit.Instant `gorm:"column:received_at"`
	ByName          string       `gorm:"column:by_name"`
}

// TableName is the table of Receipt.
func (Receipt) TableName() string { return "receipts" }

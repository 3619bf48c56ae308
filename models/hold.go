package models

import "spanroom/internal/unit"

// Hold keeps something from use until it is released.
type Hold struct {
	ID         int64        `gorm:"column:id;primaryKey"`
	OnKind     string       `gorm:"column:on_kind"`
	OnID       int64        `gorm:"column:on_id"`
	OnName     string       `gorm:"column:on_name"`
	Reason     string       `gorm:"column:reason"`
	Text       string       `gorm:"column:text"`
	PlacedAt   unit.Instant `gorm:"column:placed_at"`
	PlacedBy   string       `gorm:"column:placed_by"`
	Receiving  bool         `gorm:"column:receiving"`
	ReleasedAt unit.Instant `gorm:"column:released_at"`
	ReleasedBy string       `gorm:"column:released_by"`
	Evidence   string       `gorm:"column:evidence"`
}

// TableName is the table of Hold.
func (Hold) TableName() string { return "holds" }

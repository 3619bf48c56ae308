package models

import "spanroom/internal/unit"

// Tubing is one length of tubing.
type Tubing struct {
	ID         int64        `gorm:"column:id;primaryKey"`
	Code       string       `gorm:"column:code"`
	Name       string       `gorm:"column:name"`
	Version    int64        `gorm:"column:version"`
	Material   string       `gorm:"column:material"`
	Length     unit.Length  `gorm:"column:length_mm"`
	PlaceID    *int64       `gorm:"column:place_id"`
	ServicedAt unit.Instant `gorm:"column:serviced_at"`
}

// TableName is the table of Tubing.
func (Tubing) TableName() string { return "tubings" }

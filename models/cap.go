package models

import "spanroom/internal/unit"

// Cap is one calibration cap.
type Cap struct {
	ID         int64        `gorm:"column:id;primaryKey"`
	Code       string       `gorm:"column:code"`
	Name       string       `gorm:"column:name"`
	Version    int64        `gorm:"column:version"`
	PlaceID    *int64       `gorm:"column:place_id"`
	ServicedAt unit.Instant `gorm:"column:serviced_at"`
}

// TableName is the table of Cap.
func (Cap) TableName() string { return "caps" }

package models

import "spanroom/internal/unit"

// Version is one state of a catalogue thing as it was written; old ones stay readable.
type Version struct {
	ID         int64        `gorm:"column:id;primaryKey"`
	Noun       string       `gorm:"column:noun"`
	Code       string       `gorm:"column:code"`
	Version    int64        `gorm:"column:version"`
	Doc        string       `gorm:"column:doc"`
	RecordedAt unit.Instant `gorm:"column:recorded_at"`
	ByName     string       `gorm:"column:by_name"`
}

// TableName is the table of Version.
func (Version) TableName() string { return "versions" }

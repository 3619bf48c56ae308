package models

import "spanroom/internal/unit"

// File is a document as it came: a PDF or a picture, under the fingerprint of its content.
type File struct {
	SHA256     string       `gorm:"column:sha256;primaryKey"`
	Kind       string       `gorm:"column:kind"`
	Name       string       `gorm:"column:name"`
	RecordedAt unit.Instant `gorm:"column:recorded_at"`
	Bytes      []byte       `gorm:"column:bytes"`
}

// TableName is the table of File.
func (File) TableName() string { return "files" }

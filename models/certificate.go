package models

import "spanroom/internal/unit"

// Certificate is the document of a lot, or of one cylinder.
type Certificate struct {
	ID             int64         `gorm:"column:id;primaryKey"`
	LotID          int64         `gorm:"column:lot_id"`
	CylinderID     *int64        `gorm:"column:cylinder_id"`
	Kind           string        `gorm:"column:kind"`
	Number         string        `gorm:"column:number"`
	IssuedOn       unit.Date     `gorm:"column:issued_on"`
	ExpiresOn      unit.Date     `gorm:"column:expires_on"`
	MinUsePressure unit.Pressure `gorm:"column:min_use_pressure_pa"`
	RecordedAt     unit.Instant  `gorm:"column:recorded_at"`
	FileSHA256     string        `gorm:"column:file_sha256"` // "" where no file came
}

// TableName is the table of Certificate.
func (Certificate) TableName() string { return "certificates" }

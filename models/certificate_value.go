package models

import "spanroom/internal/unit"

// CertificateValue is one certified amount.
type CertificateValue struct {
	CertificateID int64       `gorm:"column:certificate_id;primaryKey;autoIncrement:false"`
	ComponentID   int64       `gorm:"column:component_id;primaryKey;autoIncrement:false"`
	Position      int64       `gorm:"column:position"`
	Amount        unit.Amount `gorm:"column:amount_ppb"`
	Uncertainty   unit.Amount `gorm:"column:uncertainty_ppb"`
	Typed         string      `gorm:"column:typed"`
}

// TableName is the table of CertificateValue.
func (CertificateValue) TableName() string { return "certificate_values" }

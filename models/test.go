package models

import "spanroom/internal/unit"

// Test is one test of an instrument with the gas of a checkout.
type Test struct {
	ID          int64        `gorm:"column:id;primaryKey"`
	CheckoutID  int64        `gorm:"column:checkout_id"`
	Instrument  string       `gorm:"column:instrument"`
	ProcedureID int64        `gorm:"column:procedure_id"`
	Result      string       `gorm:"column:result"`
	Attempts    int64        `gorm:"column:attempts"`
	Used        unit.Volume  `gorm:"column:used_ml"`
	Readings    string       `gorm:"column:readings"`
	Valid       bool         `gorm:"column:valid"`
	HappenedAt  unit.Instant `gorm:"column:happened_at"`
	RecordedAt  unit.Instant `gorm:"column:recorded_at"`
	ByName      string       `gorm:"column:by_name"`
}

// TableName is the table of Test.
func (Test) TableName() string { return "tests" }

package models

import "spanroom/internal/unit"

// Regulator is one regulator with its rating and flow.
type Regulator struct {
	ID           int64         `gorm:"column:id;primaryKey"`
	Code         string        `gorm:"column:code"`
	Name         string        `gorm:"column:name"`
	Version      int64         `gorm:"column:version"`
	Inlet        string        `gorm:"column:inlet"`
	MaxPressure  unit.Pressure `gorm:"column:max_pressure_pa"`
	MinimumInlet unit.Pressure `gorm:"column:minimum_inlet_pa"`
	Mode         string        `gorm:"column:mode"`
	Flow         unit.Flow     `gorm:"column:flow_ml_min"`
	Body         string        `gorm:"column:body"`
	PlaceID      *int64        `gorm:"column:place_id"`
	ServicedAt   unit.Instant  `gorm:"column:serviced_at"`
}

// TableName is the table of Regulator.
func (Regulator) TableName() string { return "regulators" }

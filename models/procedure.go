package models

import "spanroom/internal/unit"

// Procedure is a way of testing an instrument and the gas that it takes.
type Procedure struct {
	ID           int64        `gorm:"column:id;primaryKey"`
	Code         string       `gorm:"column:code"`
	Name         string       `gorm:"column:name"`
	Version      int64        `gorm:"column:version"`
	Purpose      string       `gorm:"column:purpose"`
	BlendID      *int64       `gorm:"column:blend_id"`
	Flow         unit.Flow    `gorm:"column:flow_ml_min"`
	Duration     unit.Seconds `gorm:"column:duration_s"`
	Purge        unit.Volume  `gorm:"column:purge_ml"`
	Conditioning unit.Seconds `gorm:"column:conditioning_s"`
}

// TableName is the table of Procedure.
func (Procedure) TableName() string { return "procedures" }

package models

import "spanroom/internal/unit"

// BlendComponent is one component of a blend with its nominal amount.
type BlendComponent struct {
	BlendID     int64       `gorm:"column:blend_id;primaryKey;autoIncrement:false"`
	ComponentID int64       `gorm:"column:component_id;primaryKey;autoIncrement:false"`
	Position    int64       `gorm:"column:position"`
	Amount      unit.Amount `gorm:"column:amount_ppb"`
	Tolerance   unit.Amount `gorm:"column:tolerance_ppb"`
}

// TableName is the table of BlendComponent.
func (BlendComponent) TableName() string { return "blend_components" }

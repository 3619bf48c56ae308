package models

import "spanroom/internal/unit"

// Item is what is stocked: a blend in a size with its outlet, or a consumable.
type Item struct {
	ID             int64          `gorm:"column:id;primaryKey"`
	Code           string         `gorm:"column:code"`
	Name           string         `gorm:"column:name"`
	Version        int64          `gorm:"column:version"`
	Kind           string         `gorm:"column:kind"`
	CountedIn      string         `gorm:"column:counted_in"`
	BlendID        *int64         `gorm:"column:blend_id"`
	WaterVolume    unit.Volume    `gorm:"column:water_volume_ml"`
	FillPressure   unit.Pressure  `gorm:"column:fill_pressure_pa"`
	Outlet         string         `gorm:"column:outlet"`
	Refillable     bool           `gorm:"column:refillable"`
	Cutoff         *unit.Pressure `gorm:"column:cutoff_pa"`
	StoreCapMonths *int64         `gorm:"column:store_cap_months"`
}

// TableName is the table of Item.
func (Item) TableName() string { return "items" }

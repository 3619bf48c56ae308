package models

// Place is where things stand: a cage, a shelf, a van.
type Place struct {
	ID           int64  `gorm:"column:id;primaryKey"`
	Code         string `gorm:"column:code"`
	Name         string `gorm:"column:name"`
	Version      int64  `gorm:"column:version"`
	Kind         string `gorm:"column:kind"`
	MaxCylinders *int64 `gorm:"column:max_cylinders"`
}

// TableName is the table of Place.
func (Place) TableName() string { return "places" }

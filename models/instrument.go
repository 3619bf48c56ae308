package models

// Instrument is one gas detector.
type Instrument struct {
	ID      int64  `gorm:"column:id;primaryKey"`
	Code    string `gorm:"column:code"`
	Name    string `gorm:"column:name"`
	Version int64  `gorm:"column:version"`
	ModelID *int64 `gorm:"column:model_id"`
	PlaceID *int64 `gorm:"column:place_id"`
}

// TableName is the table of Instrument.
func (Instrument) TableName() string { return "instruments" }

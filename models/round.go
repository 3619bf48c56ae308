package models

// Round is a planned set of instruments.
type Round struct {
	ID      int64  `gorm:"column:id;primaryKey"`
	Code    string `gorm:"column:code"`
	Name    string `gorm:"column:name"`
	Version int64  `gorm:"column:version"`
	PlaceID *int64 `gorm:"column:place_id"`
}

// TableName is the table of Round.
func (Round) TableName() string { return "rounds" }

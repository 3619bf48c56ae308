package models

// Blend is a mixture independent of supplier and size.
type Blend struct {
	ID      int64  `gorm:"column:id;primaryKey"`
	Code    string `gorm:"column:code"`
	Name    string `gorm:"column:name"`
	Version int64  `gorm:"column:version"`
	Balance string `gorm:"column:balance"`
}

// TableName is the table of Blend.
func (Blend) TableName() string { return "blends" }

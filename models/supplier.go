package models

// Supplier is who we buy from.
type Supplier struct {
	ID         int64  `gorm:"column:id;primaryKey"`
	Code       string `gorm:"column:code"`
	Name       string `gorm:"column:name"`
	Version    int64  `gorm:"column:version"`
	LeadDays   int64  `gorm:"column:lead_days"`
	LeadSDDays int64  `gorm:"column:lead_sd_days"`
}

// TableName is the table of Supplier.
func (Supplier) TableName() string { return "suppliers" }

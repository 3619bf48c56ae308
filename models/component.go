package models

// Component is a gas that occurs in blends, with the site's limits on its stability.
type Component struct {
	ID              int64  `gorm:"column:id;primaryKey"`
	Code            string `gorm:"column:code"`
	Name            string `gorm:"column:name"`
	Version         int64  `gorm:"column:version"`
	CapMonths       *int64 `gorm:"column:cap_months"`
	FallbackMonths  *int64 `gorm:"column:fallback_months"`
	OpenedDays      *int64 `gorm:"column:opened_days"`
	Formula         string `gorm:"column:formula"`
	MakingTolerance *int64 `gorm:"column:making_tolerance_bp"` // in hundredths of a percent of the nominal amount
	Adsorbs         bool   `gorm:"column:adsorbs"`
}

// TableName is the table of Component.
func (Component) TableName() string { return "components" }

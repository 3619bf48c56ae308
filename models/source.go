package models

// Source is a supplier's article for an item, with its terms.
type Source struct {
	ID              int64  `gorm:"column:id;primaryKey"`
	ItemID          int64  `gorm:"column:item_id"`
	SupplierID      int64  `gorm:"column:supplier_id"`
	Position        int64  `gorm:"column:position"`
	Article         string `gorm:"column:article"`
	GTIN            string `gorm:"column:gtin"`
	Pack            int64  `gorm:"column:pack"`
	MOQ             int64  `gorm:"column:moq"`
	PriceMinor      int64  `gorm:"column:price_minor"`
	Currency        string `gorm:"column:currency"`
	MinimumLifeDays int64  `gorm:"column:minimum_life_days"`
}

// TableName is the table of Source.
func (Source) TableName() string { return "sources" }

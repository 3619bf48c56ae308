package models

// Balance is how much of a consumable stands at a place.
type Balance struct {
	ItemID   int64 `gorm:"column:item_id;primaryKey;autoIncrement:false"`
	PlaceID  int64 `gorm:"column:place_id;primaryKey;autoIncrement:false"`
	Quantity int64 `gorm:"column:quantity"`
}

// TableName is the table of Balance.
func (Balance) TableName() string { return "balances" }

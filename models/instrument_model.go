package models

// InstrumentModel is a type of gas detector.
type InstrumentModel struct {
	ID      int64  `gorm:"column:id;primaryKey"`
	Code    string `gorm:"column:code"`
	Name    string `gorm:"column:name"`
	Version int64  `gorm:"column:version"`
}

// TableName is the table of InstrumentModel.
func (InstrumentModel) TableName() string { return "instrument_models" }

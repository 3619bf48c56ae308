package models

import "spanroom/internal/unit"

// Checkout is one outing of a cylinder, from take to return.
type Checkout struct {
	ID              int64            `gorm:"column:id;primaryKey"`
	CylinderID      int64            `gorm:"column:cylinder_id"`
	HolderID        int64            `gorm:"column:holder_id"`
	PlaceID         *int64           `gorm:"column:place_id"`
	Purpose         string           `gorm:"column:purpose"`
	Tests           string           `gorm:"column:tests"`
	FromOn          unit.Date        `gorm:"column:from_on"`
	UntilOn         unit.Date        `gorm:"column:until_on"`
	Regulator       string           `gorm:"column:regulator"`
	Tubing          string           `gorm:"column:tubing"`
	Cap             string           `gorm:"column:cap"`
	Instruments     string           `gorm:"column:instruments"`
	Need            unit.Volume      `gorm:"column:need_ml"`
	TakenAt         unit.Instant     `gorm:"column:taken_at"`
	OutPressure     unit.Pressure    `gorm:"column:out_pressure_pa"`
	OutTemperature  unit.Temperature `gorm:"column:out_temperature_mk"`
	OutGauge        string           `gorm:"column:out_gauge"`
	OutSource       string           `gorm:"column:out_source"`
	ReturnedAt      unit.Instant     `gorm:"column:returned_at"`
	ReturnedTo      string           `gorm:"column:returned_to"`
	SetLeftOn       bool             `gorm:"column:set_left_on"`
	InPressure      unit.Pressure    `gorm:"column:in_pressure_pa"`
	InTemperature   unit.Temperature `gorm:"column:in_temperature_mk"`
	InGauge         string           `gorm:"column:in_gauge"`
	Measured        unit.Volume      `gorm:"column:measured_ml"`
	Expected        unit.Volume      `gorm:"column:expected_ml"`
	Threshold       unit.Volume      `gorm:"column:threshold_ml"`
	Verdict         string           `gorm:"column:verdict"`
	Explained       string           `gorm:"column:explained"`
	SettingsVersion int64            `gorm:"column:settings_version"`
	Version         int64            `gorm:"column:version"`
}

// TableName is the table of Checkout.
func (Checkout) TableName() string { return "checkouts" }

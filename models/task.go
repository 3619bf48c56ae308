package models

import "spanroom/internal/unit"

// Task is a job that somebody's act left for a role.
type Task struct {
	ID       int64        `gorm:"column:id;primaryKey"`
	Role     string       `gorm:"column:role"`
	Kind     string       `gorm:"column:kind"`
	Subject  string       `gorm:"column:subject"`
	Text     string       `gorm:"column:text"`
	OpenedAt unit.Instant `gorm:"column:opened_at"`
	ClosedAt unit.Instant `gorm:"column:closed_at"`
	ClosedBy string       `gorm:"column:closed_by"`
}

// TableName is the table of Task.
func (Task) TableName() string { return "tasks" }

package models

import "spanroom/internal/unit"

// Answer is what a person's idempotency key was answered, so that a repeat has one effect.
type Answer struct {
	PersonID   int64        `gorm:"column:person_id;primaryKey;autoIncrement:false"`
	Key        string       `gorm:"column:key;primaryKey;autoIncrement:false"`
	Hash       string       `gorm:"column:hash"`
	Body       string       `gorm:"column:body"`
	RecordedAt unit.Instant `gorm:"column:recorded_at"`
}

// TableName is the table of Answer.
func (Answer) TableName() string { return "answers" }

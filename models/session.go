package models

import "spanroom/internal/unit"

// Session is one sign-in; only the hash of its token is kept.
type Session struct {
	TokenHash string       `gorm:"column:token_hash;primaryKey"`
	PersonID  int64        `gorm:"column:person_id"`
	CreatedAt unit.Instant `gorm:"column:created_at"`
	SeenAt    unit.Instant `gorm:"column:seen_at"`
	ExpiresAt unit.Instant `gorm:"column:expires_at"`
}

// TableName is the table of Session.
func (Session) TableName() string { return "sessions" }

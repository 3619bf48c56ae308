package models

import "spanroom/internal/unit"

// Token lets a program in as a person; only its hash is kept.
type Token struct {
	TokenHash string       `gorm:"column:token_hash;primaryKey"`
	PersonID  int64        `gorm:"column:person_id"`
	CreatedAt unit.Instant `gorm:"column:created_at"`
	RevokedAt unit.Instant `gorm:"column:revoked_at"`
}

// TableName is the table of Token.
func (Token) TableName() string { return "tokens" }

// Package models has the rows of the tables, one file a table: plain structs with gorm tags and nothing else.
package models

import "spanroom/internal/unit"

// Person is somebody who may sign in, or a program that holds a token.
type Person struct {
	ID           int64        `gorm:"column:id;primaryKey"`
	Name         string       `gorm:"column:name"`
	Role         string       `gorm:"column:role"`
	PasswordHash string       `gorm:"column:password_hash"`
	CreatedAt    unit.Instant `gorm:"column:created_at"`
}

// TableName is the table of Person.
func (Person) TableName() string { return "people" }

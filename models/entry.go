package models

import "spanroom/internal/unit"

// Entry is one line of the ledger; it is never edited or deleted.
type Entry struct {
	Seq          int64        `gorm:"column:seq;primaryKey;autoIncrement:false"`
	RecordedAt   unit.Instant `gorm:"column:recorded_at"`
	HappenedAt   unit.Instant `gorm:"column:happened_at"`
	ByName       string       `gorm:"column:by_name"`
	Kind         string       `gorm:"column:kind"`
	Subject      string       `gorm:"column:subject"`
	Quantity     int64        `gorm:"column:quantity"`
	Unit         string       `gorm:"column:unit"`
	Place        string       `gorm:"column:place"`
	Reverses     *int64       `gorm:"column:reverses"`
	Before       string       `gorm:"column:before"`
	After        string       `gorm:"column:after"`
	Reason       string       `gorm:"column:reason"`
	RequestID    string       `gorm:"column:request_id"`
	PreviousHash string       `gorm:"column:previous_hash"`
	Hash         string       `gorm:"column:hash"`
}

// TableName is the table of Entry.
func (Entry) TableName() string { return "ledger" }

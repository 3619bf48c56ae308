package store

import (
	"context"

	"spanroom/models"
)

// EntriesAbout lists the latest entries about any of several subjects, newest first.
func (s *Store) EntriesAbout(ctx context.Context, subjects []string, limit int) ([]models.Entry, error) {
	var rows []models.Entry
	err := s.db(ctx).Where("subject IN ?", subjects).Order("seq DESC").Limit(limit).Find(&rows).Error
	return rows, err
}

// EntriesAfter lists the entries about one subject after a sequence number, oldest first.
func (s *Store) EntriesAfter(ctx context.Context, subject string, after int64, limit int) ([]models.Entry, error) {
	var rows []models.Entry
	err := s.db(ctx).Where("subject = ? AND seq > ?", subject, after).Order("seq").Limit(limit).Find(&rows).Error
	return rows, err
}

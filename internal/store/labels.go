package store

import (
	"context"

	"spanroom/internal/unit"
)

// LabelsPrinted tells of each cylinder how many labels it has had: the one that it came with, and those of the ledger.
func (s *Store) LabelsPrinted(ctx context.Context, tags []unit.Tag) (map[unit.Tag]int64, error) {
	prints := make(map[unit.Tag]int64, len(tags))
	if len(tags) == 0 {
		return prints, nil
	}
	bySubject := make(map[string]unit.Tag, len(tags))
	subjects := make([]string, len(tags))
	for i, tag := range tags {
		prints[tag], subjects[i] = 1, Subject(tag)
		bySubject[subjects[i]] = tag
	}
	var rows []struct {
		Subject string
		N       int64
	}
	err := s.db(ctx).Raw(`SELECT subject, COUNT(*) AS n FROM ledger WHERE kind = 'label' AND subject IN ? GROUP BY subject`, subjects).Scan(&rows).Error
	for _, row := range rows {
		prints[bySubject[row.Subject]] += row.N
	}
	return prints, err
}

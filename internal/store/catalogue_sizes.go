package store

import (
	"context"
	"maps"
	"slices"
	"strings"
)

// CatalogueSizes counts the things of each noun.
func (s *Store) CatalogueSizes(ctx context.Context) (map[string]int64, error) {
	var counts []string
	for _, noun := range slices.Sorted(maps.Keys(nounTables)) {
		counts = append(counts, "SELECT '"+noun+"' AS noun, COUNT(*) AS size FROM "+nounTables[noun])
	}
	var rows []struct {
		Noun string
		Size int64
	}
	err := s.db(ctx).Raw(strings.Join(counts, " UNION ALL ")).Scan(&rows).Error
	sizes := make(map[string]int64, len(rows))
	for _, row := range rows {
		sizes[row.Noun] = row.Size
	}
	return sizes, err
}

// HasItems tells whether the catalogue has an item.
func (s *Store) HasItems(ctx context.Context) (bool, error) {
	var ids []int64
	err := s.db(ctx).Raw("SELECT id FROM items LIMIT 1").Scan(&ids).Error
	return len(ids) > 0, err
}

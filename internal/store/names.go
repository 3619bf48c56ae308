package store

import (
	"context"

	"spanroom/models"
)

// ItemsByID gives several items at once.
func (s *Store) ItemsByID(ctx context.Context, ids []int64) (map[int64]models.Item, error) {
	return byID(ctx, s, ids, func(i models.Item) int64 { return i.ID })
}

// SuppliersByID gives several suppliers at once.
func (s *Store) SuppliersByID(ctx context.Context, ids []int64) (map[int64]models.Supplier, error) {
	return byID(ctx, s, ids, func(p models.Supplier) int64 { return p.ID })
}

// PlacesByID gives several places at once.
func (s *Store) PlacesByID(ctx context.Context, ids []int64) (map[int64]models.Place, error) {
	return byID(ctx, s, ids, func(p models.Place) int64 { return p.ID })
}

// PeopleNames gives the names of several people at once.
func (s *Store) PeopleNames(ctx context.Context, ids []int64) (map[int64]string, error) {
	people, err := byID(ctx, s, ids, func(p models.Person) int64 { return p.ID })
	names := make(map[int64]string, len(people))
	for id, p := range people {
		names[id] = p.Name
	}
	return names, err
}

// Items lists every item of a kind, or of every kind for "", by code.
func (s *Store) Items(ctx context.Context, kind string) ([]models.Item, error) {
	var rows []models.Item
	q := s.db(ctx).Order("code")
	if kind != "" {
		q = q.Where("kind = ?", kind)
	}
	err := q.Find(&rows).Error
	return rows, err
}

// ItemsOfBlend lists the items that are filled with a blend.
func (s *Store) ItemsOfBlend(ctx context.Context, blendID int64) ([]models.Item, error) {
	var rows []models.Item
	err := s.db(ctx).Where("blend_id = ?", blendID).Order("code").Find(&rows).Error
	return rows, err
}

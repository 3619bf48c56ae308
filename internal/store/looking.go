package store

import (
	"context"

	"spanroom/internal/unit"
	"spanroom/models"
)

// ProceduresOfBlend lists the procedures that take a blend, by code.
func (s *Store) ProceduresOfBlend(ctx context.Context, blendID int64) ([]models.Procedure, error) {
	var rows []models.Procedure
	err := s.db(ctx).Where("blend_id = ?", blendID).Order("code").Find(&rows).Error
	return rows, err
}

// BlendByID gives a blend without its components.
func (s *Store) BlendByID(ctx context.Context, id int64) (models.Blend, error) {
	var blend models.Blend
	err := s.db(ctx).Where("id = ?", id).Take(&blend).Error
	return blend, err
}

// ItemStocked tells whether anything of an item has ever come into the store.
func (s *Store) ItemStocked(ctx context.Context, itemID int64) (bool, error) {
	return s.exists(ctx, "SELECT 1 FROM receipts WHERE item_id = ? UNION ALL SELECT 1 FROM balances WHERE item_id = ?", itemID, itemID)
}

// OutSince tells whether a cylinder was out at any time after an instant.
func (s *Store) OutSince(ctx context.Context, cylinderID int64, since unit.Instant) (bool, error) {
	return s.exists(ctx, "SELECT 1 FROM checkouts WHERE cylinder_id = ? AND (returned_at = 0 OR returned_at > ?)", cylinderID, since)
}

// CountPeople counts the people of a role.
func (s *Store) CountPeople(ctx context.Context, role string) (int64, error) {
	var n int64
	err := s.db(ctx).Model(&models.Person{}).Where("role = ?", role).Count(&n).Error
	return n, err
}

func (s *Store) exists(ctx context.Context, query string, args ...any) (bool, error) {
	var any bool
	err := s.db(ctx).Raw("SELECT EXISTS ("+query+")", args...).Row().Scan(&any)
	return any, err
}

// MoreCylinders tells whether more cylinders than so many pass a filter, without reading them.
func (s *Store) MoreCylinders(ctx context.Context, f CylinderFilter, than int) (bool, error) {
	f.Limit = than + 1
	var n int64
	err := s.db(ctx).Table("(?) AS few", f.narrow(s.db(ctx).Table("cylinders").Select("1"))).Count(&n).Error
	return n > int64(than), err
}

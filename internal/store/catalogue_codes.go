package store

import (
	"context"

	"spanroom/models"
)

func byCode[R any](ctx context.Context, s *Store, what, code string) (R, error) {
	var row R
	err := s.db(ctx).Where("code = ?", code).Take(&row).Error
	return row, found(err, what, code)
}

// ComponentByCode gives a component.
func (s *Store) ComponentByCode(ctx context.Context, code string) (models.Component, error) {
	return byCode[models.Component](ctx, s, "component", code)
}

// BlendByCode gives a blend without its components.
func (s *Store) BlendByCode(ctx context.Context, code string) (models.Blend, error) {
	return byCode[models.Blend](ctx, s, "blend", code)
}

// ItemByCode gives an item without its sources.
func (s *Store) ItemByCode(ctx context.Context, code string) (models.Item, error) {
	return byCode[models.Item](ctx, s, "item", code)
}

// SupplierByCode gives a supplier.
func (s *Store) SupplierByCode(ctx context.Context, code string) (models.Supplier, error) {
	return byCode[models.Supplier](ctx, s, "supplier", code)
}

// PlaceByCode gives a place.
func (s *Store) PlaceByCode(ctx context.Context, code string) (models.Place, error) {
	return byCode[models.Place](ctx, s, "place", code)
}

// RegulatorByCode gives a regulator.
func (s *Store) RegulatorByCode(ctx context.Context, code string) (models.Regulator, error) {
	return byCode[models.Regulator](ctx, s, "regulator", code)
}

// ProcedureByCode gives a procedure.
func (s *Store) ProcedureByCode(ctx context.Context, code string) (models.Procedure, error) {
	return byCode[models.Procedure](ctx, s, "procedure", code)
}

// ProceduresByCode gives the procedures of these codes in one query, by code; a code that is not known is absent.
func (s *Store) ProceduresByCode(ctx context.Context, codes []string) (map[string]models.Procedure, error) {
	var rows []models.Procedure
	if err := s.db(ctx).Where("code IN ?", codes).Find(&rows).Error; err != nil {
		return nil, err
	}
	known := make(map[string]models.Procedure, len(rows))
	for _, p := range rows {
		known[p.Code] = p
	}
	return known, nil
}

// PlaceCodes gives the code of every place by its id.
func (s *Store) PlaceCodes(ctx context.Context) (map[int64]string, error) {
	return s.codes(ctx, "place")
}

// BlendCodes gives the code of every blend by its id.
func (s *Store) BlendCodes(ctx context.Context) (map[int64]string, error) {
	return s.codes(ctx, "blend")
}

// SupplierCodes gives the code of every supplier by its id.
func (s *Store) SupplierCodes(ctx context.Context) (map[int64]string, error) {
	return s.codes(ctx, "supplier")
}

func (s *Store) codes(ctx context.Context, noun string) (map[int64]string, error) {
	rows, err := s.CatalogueNames(ctx, noun)
	if err != nil {
		return nil, err
	}
	codes := make(map[int64]string, len(rows))
	for _, r := range rows {
		codes[r.ID] = r.Code
	}
	return codes, nil
}

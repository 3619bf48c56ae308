package stock

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"spanroom/internal/store"
)

// loadPieces reads every piece of these kinds, by kind and code.
func loadPieces(ctx context.Context, s *store.Store, kinds ...string) ([]*piece, error) {
	var pieces []*piece
	for _, kind := range kinds {
		rows, err := s.Pieces(ctx, kind)
		if err != nil {
			return nil, err
		}
		for _, row := range rows {
			p, err := pieceOf(kind, row)
			if err != nil {
				return nil, err
			}
			pieces = append(pieces, &p)
		}
	}
	if err := loadLastGases(ctx, s, pieces); err != nil {
		return nil, err
	}
	return pieces, nil
}

// loadLastGases fills in what went through pieces last.
func loadLastGases(ctx context.Context, s *store.Store, pieces []*piece) error {
	blends, codes := map[int64]bool{}, map[string]bool{}
	for _, p := range pieces {
		switch {
		case p.lastBlend != 0:
			blends[p.lastBlend] = true
		case p.lastGas != "":
			codes[p.lastGas] = true
		}
	}
	whole, err := s.BlendsWhole(ctx, slices.Sorted(maps.Keys(blends)))
	if err != nil {
		return err
	}
	formulas, err := s.Formulas(ctx, slices.Sorted(maps.Keys(codes)))
	if err != nil {
		return err
	}
	for _, p := range pieces {
		switch {
		case p.lastBlend != 0:
			*p.gases() = formulasOf(whole[p.lastBlend])
		case p.lastGas != "":
			*p.gases() = []string{cmp.Or(formulas[p.lastGas], p.lastGas)}
		}
	}
	return nil
}

// formulasOf are those of the components of a blend; its balance gas counts where there is nothing else.
func formulasOf(blend []store.BlendComponent) []string {
	var formulas []string
	for _, c := range blend {
		if !c.Balance || len(blend) == 1 {
			formulas = append(formulas, cmp.Or(c.Formula, c.Code))
		}
	}
	return formulas
}

// loadRegulatorHolds fills in what keeps regulators from use.
func loadRegulatorHolds(ctx context.Context, s *store.Store, pieces []*piece) error {
	holds, err := s.RegulatorHolds(ctx)
	for _, p := range pieces {
		if p.row != nil {
			p.holds = holds[p.row.ID]
		}
	}
	return err
}

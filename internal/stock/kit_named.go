package stock

import (
	"context"
	"fmt"
	"slices"

	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/models"
)

// set reads the regulator, tubing and cap that a check-out names, with where they are and what they were last used on.
func (r *needReader) set(ctx context.Context, o CheckOutOrder) (k kitSet) {
	pieces := slices.DeleteFunc([]*piece{r.piece(ctx, ofRegulator, o.Regulator), r.piece(ctx, ofTubing, o.Tubing), r.piece(ctx, ofCap, o.Cap)}, func(p *piece) bool { return p == nil })
	r.fail(func() error { return loadLastGases(ctx, r.store, pieces) })
	for _, p := range pieces {
		if p.kind == ofRegulator {
			r.fail(func() (err error) { p.holds, err = r.store.HoldsOn(ctx, nil, nil, p.row.ID); return err })
			k.others = r.taking(ctx, p.set.Regulator)
		}
		k = k.with(p)
	}
	return k
}

// piece reads one piece by its code, or nil for none.
func (r *needReader) piece(ctx context.Context, kind, code string) *piece {
	row := found(ctx, r, kind, kind, code, func(ctx context.Context, code string) (store.Piece, error) {
		return r.store.PieceByCode(ctx, kind, code)
	})
	if row == nil {
		return nil
	}
	p, err := pieceOf(kind, *row)
	r.fail(func() error { return err })
	return &p
}

// taking tells, for a regulator that takes none of the outlets of the gas that is wanted, where one is that does (R21). Whether
// it suits the gas is another question; no piece in between is proposed.
func (r *needReader) taking(ctx context.Context, named *fit.Regulator) []problem.Finding {
	if slices.ContainsFunc(r.products, func(i models.Item) bool { return takes(named, i.Outlet) }) {
		return nil
	}
	var all []*piece
	r.fail(func() (err error) { all, err = loadPieces(ctx, r.store, ofRegulator); return err })
	var nearest *piece
	for _, p := range all {
		there := slices.ContainsFunc(r.products, func(i models.Item) bool { return string(p.set.Regulator.Inlet) == i.Outlet }) && !p.upkeep().OutOfService
		if there && (nearest == nil || nearest.with != "" && p.with == "") {
			nearest = p
		}
	}
	if nearest == nil {
		return nil
	}
	return []problem.Finding{{
		Rule: "R21", Severity: problem.Note, Subject: nearest.code, Text: fmt.Sprintf("%s takes %s and is %s", nearest.code, nearest.set.Regulator.Inlet, nearest.where(&view{moment: r.moment})),
		Advice: "see whether it suits this gas as well",
	}}
}

// takes tells whether a regulator takes an outlet as it is assembled.
func takes(r *fit.Regulator, outlet string) bool {
	return string(r.Inlet) == outlet || r.Adapter != nil && string(r.Adapter.From) == outlet
}

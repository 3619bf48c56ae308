package stock

import (
	"context"
	"maps"
	"slices"

	"spanroom/internal/catalogue"
	"spanroom/internal/gas"
	"spanroom/internal/store"
	"spanroom/models"
)

type ids struct{ items, lots, papers, holders []int64 }

func idsOf(rows []models.Cylinder) ids {
	items, lots, papers, holders := map[int64]bool{}, map[int64]bool{}, map[int64]bool{}, map[int64]bool{}
	for _, c := range rows {
		items[c.ItemID], lots[c.LotID] = true, true
		if c.CertificateID != nil {
			papers[*c.CertificateID] = true
		}
		if c.HolderID != nil {
			holders[*c.HolderID] = true
		}
	}
	sorted := func(set map[int64]bool) []int64 { return slices.Sorted(maps.Keys(set)) }
	return ids{sorted(items), sorted(lots), sorted(papers), sorted(holders)}
}

func (v *view) loadLots(ctx context.Context, s *store.Store, lotIDs []int64) error {
	rows, err := s.LotsByID(ctx, lotIDs)
	if err != nil {
		return err
	}
	var papers, suppliers []int64
	for _, row := range rows {
		suppliers = append(suppliers, row.SupplierID)
		if row.CertificateID != nil {
			papers = append(papers, *row.CertificateID)
		}
	}
	known, err := certificates(ctx, s, papers)
	if err != nil {
		return err
	}
	names, err := s.SuppliersByID(ctx, suppliers)
	if err != nil {
		return err
	}
	v.lots = make(map[int64]*lot, len(rows))
	blends := map[int64]*lot{} // one lot of each blend, whose parts and mixture serve the others
	for _, id := range lotIDs {
		l := &lot{Lot: rows[id], supplier: names[rows[id].SupplierID]}
		if first := blends[l.BlendID]; first != nil {
			l.parts, l.mix, l.mixture, l.mixtureErr = first.parts, first.mix, first.mixture, first.mixtureErr
		} else if err := l.loadBlend(ctx, s); err != nil {
			return err
		}
		blends[l.BlendID] = l
		if l.CertificateID != nil {
			l.certificate = known[*l.CertificateID]
		}
		v.lots[id] = l
	}
	return nil
}

func (l *lot) loadBlend(ctx context.Context, s *store.Store) error {
	var err error
	if l.parts, err = s.BlendWhole(ctx, l.BlendID); err != nil {
		return err
	}
	l.mix = catalogue.MixOf(l.parts)
	l.mixture, l.mixtureErr = gas.NewMixture(l.mix)
	return nil
}

func certificates(ctx context.Context, s *store.Store, ids []int64) (map[int64]*certificate, error) {
	rows, err := s.CertificatesByID(ctx, ids)
	if err != nil {
		return nil, err
	}
	values, err := s.ValuesOf(ctx, ids)
	if err != nil {
		return nil, err
	}
	out := make(map[int64]*certificate, len(rows))
	for id, row := range rows {
		out[id] = &certificate{row, values[id]}
	}
	return out, nil
}

func (v *view) loadHolds(ctx context.Context, s *store.Store, ids ids) error {
	rows, err := s.HoldsOn(ctx, ids.items, ids.lots, 0)
	if err != nil {
		return err
	}
	v.holds = map[holdKey][]models.Hold{}
	for _, h := range rows {
		key := holdKey{h.OnKind, h.OnID}
		v.holds[key] = append(v.holds[key], h)
	}
	return nil
}

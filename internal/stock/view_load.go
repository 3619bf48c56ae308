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
	blends := map[int64]bool{}
	for _, row := range rows {
		suppliers, blends[row.BlendID] = append(suppliers, row.SupplierID), true
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
	parts, err := s.BlendsWhole(ctx, slices.Sorted(maps.Keys(blends)))
	if err != nil {
		return err
	}
	v.lots = make(map[int64]*lot, len(rows))
	mixed := map[int64]*lot{} // one lot of each blend, whose mixture serves the others
	for _, id := range lotIDs {
		l := &lot{Lot: rows[id], supplier: names[rows[id].SupplierID], parts: parts[rows[id].BlendID]}
		l.mixAs(mixed[l.BlendID])
		mixed[l.BlendID] = l
		if l.CertificateID != nil {
			l.certificate = known[*l.CertificateID]
		}
		v.lots[id] = l
	}
	return nil
}

// mixAs gives the lot its mixture, that of another lot of the blend where there is one.
func (l *lot) mixAs(other *lot) {
	if other != nil {
		l.mix, l.mixture, l.mixtureErr = other.mix, other.mixture, other.mixtureErr
		return
	}
	l.mix = catalogue.MixOf(l.parts)
	l.mixture, l.mixtureErr = gas.NewMixture(l.mix)
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

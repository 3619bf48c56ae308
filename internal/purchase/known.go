package purchase

import (
	"context"
	"maps"
	"slices"

	"spanroom/internal/catalogue"
	"spanroom/internal/demand"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// known is all that a plan rests on, loaded once. What follows from it is worked out without the database.
type known struct {
	at         unit.Instant
	today      unit.Date
	settings   catalogue.Settings
	head       store.Head
	items      []models.Item
	sources    map[int64][]store.SourceOf
	mixtures   map[int64]mixture           // by blend
	cylinders  map[int64][]models.Cylinder // by item: here or out, with gas that could be used
	lots       map[int64]models.Lot
	papers     map[int64]models.Certificate
	suppliers  map[int64]string // their codes
	holds      map[target][]string
	late       map[int64]unit.Date // cylinders that were to be back, and when
	balances   map[int64]int64     // of consumables
	rounds     []catalogue.Round
	procedures map[string]models.Procedure
	past       map[int64][]demand.Use // by item, in litres, pieces or metres
	useBys     map[useByKey]shelf.UseBy
}

// target is what a hold stands on.
type target struct {
	kind string
	id   int64
}

func (r Room) know(ctx context.Context) (*known, error) {
	settings, err := catalogue.CurrentSettings(ctx, r.Store)
	if err != nil {
		return nil, err
	}
	now := r.Now()
	k := &known{at: unit.InstantOf(now), today: settings.Today(now), settings: settings, useBys: map[useByKey]shelf.UseBy{}}
	for _, load := range []func(context.Context, *store.Store) error{
		k.loadHead, k.loadItems, k.loadMixtures, k.loadCylinders, k.loadHolds, k.loadBalances, k.loadRounds, k.loadPast,
	} {
		if err := load(ctx, r.Store); err != nil {
			return nil, err
		}
	}
	return k, nil
}

func (k *known) loadHead(ctx context.Context, s *store.Store) (err error) {
	k.head, err = s.Head(ctx)
	return err
}

func (k *known) loadItems(ctx context.Context, s *store.Store) (err error) {
	if k.items, err = s.Items(ctx, ""); err != nil {
		return err
	}
	if k.sources, err = s.AllSources(ctx); err != nil {
		return err
	}
	k.suppliers, err = s.SupplierCodes(ctx)
	return err
}

func (k *known) loadMixtures(ctx context.Context, s *store.Store) error {
	blends, err := catalogue.Blends(ctx, s)
	if err != nil {
		return err
	}
	codes, err := s.BlendCodes(ctx)
	if err != nil {
		return err
	}
	byCode := map[string]catalogue.Blend{}
	for _, b := range blends {
		byCode[b.Code] = b
	}
	parts, err := s.BlendsWhole(ctx, slices.Collect(maps.Keys(codes)))
	if err != nil {
		return err
	}
	k.mixtures = make(map[int64]mixture, len(codes))
	for id, code := range codes {
		k.mixtures[id] = newMixture(byCode[code], parts[id])
	}
	return nil
}

func (k *known) loadCylinders(ctx context.Context, s *store.Store) (err error) {
	rows, err := s.Cylinders(ctx, store.CylinderFilter{Stages: []string{"received", "sealed", "opened"}})
	if err != nil {
		return err
	}
	k.cylinders = map[int64][]models.Cylinder{}
	lots, papers := map[int64]bool{}, map[int64]bool{}
	for _, c := range rows {
		k.cylinders[c.ItemID] = append(k.cylinders[c.ItemID], c)
		lots[c.LotID] = true
		if c.CertificateID != nil {
			papers[*c.CertificateID] = true
		}
	}
	if k.lots, err = s.LotsByID(ctx, slices.Sorted(maps.Keys(lots))); err != nil {
		return err
	}
	for _, l := range k.lots {
		if l.CertificateID != nil {
			papers[*l.CertificateID] = true
		}
	}
	k.papers, err = s.CertificatesByID(ctx, slices.Sorted(maps.Keys(papers)))
	return err
}

func (k *known) loadHolds(ctx context.Context, s *store.Store) error {
	standing, err := s.StandingHolds(ctx)
	if err != nil {
		return err
	}
	k.holds = map[target][]string{}
	for _, h := range standing {
		on := target{h.OnKind, h.OnID}
		k.holds[on] = append(k.holds[on], h.Reason)
	}
	k.late, err = s.OutPast(ctx, k.today.AddDays(-int(k.settings.OutLateDays)))
	return err
}

func (k *known) loadBalances(ctx context.Context, s *store.Store) error {
	rows, err := s.Balances(ctx, 0)
	k.balances = map[int64]int64{}
	for _, b := range rows {
		k.balances[b.ItemID] += b.Quantity
	}
	return err
}

func (k *known) loadRounds(ctx context.Context, s *store.Store) (err error) {
	if k.rounds, err = catalogue.Rounds(ctx, s); err != nil {
		return err
	}
	codes := map[string]bool{}
	for _, r := range k.rounds {
		for _, t := range r.Tests {
			codes[t.Procedure] = true
		}
	}
	k.procedures, err = s.ProceduresByCode(ctx, slices.Sorted(maps.Keys(codes)))
	return err
}

// loadPast looks twice as far back as the forecast does, so that an item that rested for long is not taken for a new one.
func (k *known) loadPast(ctx context.Context, s *store.Store) error {
	const day = 24 * 60 * 60 * 1000
	since := k.at - unit.Instant(2*7*day*k.settings.HistoryWeeks)
	var rows []store.Used
	for _, query := range []func(context.Context, unit.Instant) ([]store.Used, error){s.GasUsed, s.TestsMade, s.ConsumablesUsed} {
		more, err := query(ctx, since)
		if err != nil {
			return err
		}
		rows = append(rows, more...)
	}
	k.past = pastUse(rows, k.items, k.settings)
	return nil
}

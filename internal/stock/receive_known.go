package stock

import (
	"context"
	"slices"

	"spanroom/internal/store"
	"spanroom/models"
)

// known loads what the rules of goods in ask the store.
func (in intake) known(ctx context.Context, d delivery) (known, error) {
	k := known{moment: in.moment, parts: d.parts}
	for _, load := range []func(context.Context, *known, delivery) error{in.loadLots, in.loadSerials, in.loadSource, in.loadPlaces, in.loadFleet} {
		if err := load(ctx, &k, d); err != nil {
			return k, err
		}
	}
	return k, nil
}

// loadLots loads the supplier's lots, and of the one that the delivery joins its document and its standing holds.
func (in intake) loadLots(ctx context.Context, k *known, d delivery) error {
	var err error
	if k.lots, err = in.tx.LotsOfSupplier(ctx, d.supplier.ID); err != nil {
		return err
	}
	if k.blends, err = in.tx.BlendCodes(ctx); err != nil {
		return err
	}
	at := slices.IndexFunc(k.lots, func(l models.Lot) bool { return l.LotKey == d.key })
	if at < 0 {
		return nil
	}
	if k.standing, err = in.tx.LotHolds(ctx, k.lots[at].ID); err != nil || k.lots[at].CertificateID == nil {
		return err
	}
	papers, err := certificates(ctx, in.tx, []int64{*k.lots[at].CertificateID})
	k.document = papers[*k.lots[at].CertificateID]
	return err
}

func (in intake) loadSerials(ctx context.Context, k *known, d delivery) error {
	var serials []string
	for _, c := range d.cylinders {
		if c.serial != "" {
			serials = append(serials, c.serial)
		}
	}
	rows, err := in.tx.CylindersBySerials(ctx, d.supplier.ID, serials)
	k.serials = map[string][]models.Cylinder{}
	for _, c := range rows {
		k.serials[c.Serial] = append(k.serials[c.Serial], c)
	}
	return err
}

func (in intake) loadSource(ctx context.Context, k *known, d delivery) error {
	sources, err := in.tx.SourcesOf(ctx, d.item.ID)
	if at := slices.IndexFunc(sources, func(s store.SourceOf) bool { return s.SupplierID == d.supplier.ID }); at >= 0 {
		k.source = &sources[at]
	}
	return err
}

func (in intake) loadPlaces(ctx context.Context, k *known, d delivery) error {
	var err error
	if d.place.MaxCylinders == nil {
		return nil
	}
	if k.places, err = in.tx.Places(ctx); err != nil {
		return err
	}
	k.stands, err = in.tx.CylindersAtPlaces(ctx)
	return err
}

package catalogue

import (
	"context"

	"spanroom/internal/fit"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// Fleet gives every instrument of the site that is in service, put together as FitInstruments does.
func Fleet(ctx context.Context, s *store.Store, today unit.Date, settings Settings) ([]fit.Instruments, error) {
	list, err := all[Instrument](ctx, s, "instrument")
	if err != nil {
		return nil, err
	}
	known, err := all[Model](ctx, s, "model")
	if err != nil {
		return nil, err
	}
	models := make(map[string]Model, len(known))
	for _, m := range known {
		models[m.Code] = m
	}
	if err := nameFormulas(ctx, s, models); err != nil {
		return nil, err
	}
	working := list[:0]
	for _, i := range list {
		if !i.OutOfService {
			working = append(working, i)
		}
	}
	return FitInstruments(models, working, today, settings), nil
}

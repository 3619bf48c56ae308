package main

import (
	"context"
	"errors"
	"time"

	"spanroom/internal/unit"
)

const (
	tidyEvery   = time.Hour
	keepAnswers = 30 * 24 * time.Hour // nobody repeats a request that late
)

// housekeeping tidies the store now and then until ctx ends. What fails is tried again the next time.
func (s site) housekeeping(ctx context.Context) {
	tick := time.NewTicker(tidyEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case now := <-tick.C:
			if err := s.tidy(ctx, now); err != nil && ctx.Err() == nil {
				s.log.Warn("housekeeping", "error", err)
			}
		}
	}
}

// tidy goes by the machine's clock, as kept answers do, also where the site's own clock runs elsewhere.
func (s site) tidy(ctx context.Context, now time.Time) error {
	return errors.Join(s.store.ForgetAnswers(ctx, unit.InstantOf(now.Add(-keepAnswers))), s.store.Tidy(ctx))
}

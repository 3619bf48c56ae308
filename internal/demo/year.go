package demo

import (
	"cmp"
	"context"
	"fmt"
	"slices"
)

// firstDay is when the store is furnished, in days from today; the year begins a week later.
const firstDay = -371

// scene is something that happens in the year, at an hour of a day that is counted from today.
type scene struct {
	day  int
	hour string
	what string
	play func(ctx context.Context) error
}

// live plays the scenes of the year one after the other.
func (h *house) live(ctx context.Context) error {
	scenes := slices.Concat(h.deliveries(), h.rounds(), h.mishaps(), h.changes(), h.counter())
	slices.SortStableFunc(scenes, func(a, b scene) int {
		return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(a.hour, b.hour))
	})
	for _, s := range scenes {
		if err := h.clock.set(s.day, s.hour); err != nil {
			return err
		}
		if err := s.play(ctx); err != nil {
			return fmt.Errorf("the demo's day %d, %s: %w", s.day, s.what, err)
		}
	}
	return nil
}

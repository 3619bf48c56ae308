package main

import (
	"log/slog"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// An answer is kept for 30 days: until then the same request has no further effect, after that it counts as new.
func TestTidyForgetsOldAnswers(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		here := site{store: s, now: time.Now, log: slog.New(slog.DiscardHandler)}
		people := auth.Room{Store: s, Now: time.Now}
		if _, err := people.AddToken(t.Context(), "till", auth.Clerk); err != nil {
			t.Fatal(err)
		}
		till, err := s.PersonByName(t.Context(), "till")
		if err != nil {
			t.Fatal(err)
		}
		runs := 0
		for _, step := range []struct {
			later time.Duration
			runs  int
		}{{0, 1}, {29 * 24 * time.Hour, 1}, {31 * 24 * time.Hour, 2}} {
			if err := here.tidy(t.Context(), time.Now().Add(step.later)); err != nil {
				t.Fatal(err)
			}
			_, err := store.Once(t.Context(), s, store.Key{Person: till.ID, Key: "k", Hash: "h"}, func(*store.Store) (int, error) {
				runs++
				return runs, nil
			})
			if err != nil || runs != step.runs {
				t.Errorf("after %v: ran %d times, want %d (%v)", step.later, runs, step.runs, err)
			}
		}
	})
}

// Package demo fills a store with an invented water utility. Nothing in it is written by hand: its people live through a
// year of deliveries, tests and mishaps by the use cases themselves, so that ledger, history and forecast are true.
package demo

import (
	"context"
	"fmt"
	"time"

	"spanroom/internal/store"
)

// Result is what a visitor of the demo needs to know.
type Result struct {
	SignIns []SignIn
	// Clock goes on from the moment at which the year ends.
	Clock func() time.Time
}

// SignIn is somebody as whom the demo can be entered.
type SignIn struct {
	Name, Role, Password string
}

// Seed makes a new SQLite file and lives through the year that ends at now. A file that exists is refused. What it writes
// follows from now alone, but for the tags of the cylinders and the salts of the passwords.
func Seed(ctx context.Context, path string, now time.Time) (Result, error) {
	began := time.Now()
	err := store.Seed(ctx, path, func(s *store.Store) error {
		h, err := newHouse(s, now)
		if err != nil {
			return err
		}
		if err := h.furnish(ctx); err != nil {
			return fmt.Errorf("the demo's setting: %w", err)
		}
		return h.live(ctx)
	})
	if err != nil {
		return Result{}, err
	}
	clock := func() time.Time { return now.Add(time.Since(began)) }
	return Result{SignIns: signIns(), Clock: clock}, nil
}

func signIns() []SignIn {
	all := make([]SignIn, len(people))
	for i, p := range people {
		all[i] = SignIn{p.name, string(p.role), Password}
	}
	return all
}

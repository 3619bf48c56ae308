// Package purchase has what the purchaser does: for now the plan, which says for every item what to order, how much, by
// when and why, on stock that expires.
package purchase

import (
	"context"
	"time"

	"spanroom/internal/store"
)

// Room is where the purchaser's use cases stand. Now is their clock.
type Room struct {
	Store *store.Store
	Now   func() time.Time
}

// Plan answers what to order as things stand: a line for every item that has a source, stock or use, those that a person
// must decide first, then by the day of the order. It changes nothing, and the same state on the same day gives the same plan.
func (r Room) Plan(ctx context.Context) (PlanAnswer, error) {
	k, err := r.know(ctx)
	if err != nil {
		return PlanAnswer{}, err
	}
	return k.plan(), nil
}

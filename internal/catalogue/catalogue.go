// Package catalogue knows what the store deals with: components, blends, items, suppliers, places, equipment, procedures,
// instruments, rounds and the site's settings. All are written in one way, and every version stays readable.
package catalogue

import (
	"context"
	"time"

	"spanroom/internal/store"
)

// Room makes, changes and reads what is in the catalogue.
type Room struct {
	Store *store.Store
	Now   func() time.Time
}

// Order is a thing of the catalogue as it is sent and as it is answered: what was typed, and beside it the plain numbers,
// whose names end in their unit and which are computed anew whatever an order says of them.
type Order interface {
	head() head
	check(ctx context.Context, c *checker) projection
}

// head points at what every order has.
type head struct {
	noun    string
	code    *string
	name    *string // nil for settings
	version *int64
}

// projection is what the typed tables keep of an order.
type projection struct {
	row      any // nil where there is no table
	children func(ctx context.Context, tx *store.Store, id int64) error
}

// named gives the name to show: the code where nobody gave one.
func named(name, code string) string {
	if name == "" {
		return code
	}
	return name
}

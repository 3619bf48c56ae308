// Package reorder decides for one item of the store what to order, how much, by when and why, on stock that expires.
package reorder

import "spanroom/internal/unit"

// Lot is stock of one use-by on hand. Units are cylinders with their fractions, pieces or metres.
type Lot struct {
	Lot       string
	Units     float64
	ExpiresOn unit.Date // the site's use-by; "" where it never expires
	Held      bool      // not to be counted on
	Hold      string    // the hold's reason, such as "Certificate missing"
}

// Arrival is an open order. On is the promised date with the supplier's usual slip.
type Arrival struct {
	Order     string
	On        unit.Date
	Units     float64
	ExpiresOn unit.Date
}

// Terms are what a supplier asks for an item and what the site asks of the order.
type Terms struct {
	Supplier, Article string
	Pack, MOQ         int        // units in a pack; the least order, in units
	Price             unit.Money // of a pack
	LeadDays          int
	LeadUnknown       bool // nobody has entered LeadDays, so that no date follows from them
	LeadSDDays        int
	MinimumLifeDays   int // life that can be counted on at arrival; 0 where the item does not expire
	ReviewDays        int // days between two looks at the plan
	ReserveDays       int // life kept in reserve when the quantity is capped
	Service           float64
}

// Question is all that the plan of one item rests on. PerWeek and SD are in the units of the lots.
type Question struct {
	Item, Unit  string // Unit is cylinder, each or m
	Today       unit.Date
	PerWeek, SD float64
	Lots        []Lot
	OnOrder     []Arrival
	Terms               // of the supplier to order from
	Others      []Terms // of the suppliers that could stand in
}

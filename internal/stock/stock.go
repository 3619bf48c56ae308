// Package stock has what the clerk and the technician do: receive, shelve, hold, recommend, check out, return, hand out.
// Each act loads what it needs, decides by a pure function, and writes in one transaction with its ledger entries.
package stock

import (
	"context"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// Room is where the use cases of the storeroom stand. Now is the clock of everything that is recorded.
type Room struct {
	Store *store.Store
	Now   func() time.Time
}

// The stages of a cylinder's life.
const (
	Received = "received" // here, with a hold from goods in
	Sealed   = "sealed"
	Opened   = "opened"
	Spent    = "spent" // not empty: awaiting what the site does with it
	Gone     = "gone"
)

// Where a pressure comes from, the most trusted first.
const (
	Measured = "measured"
	Computed = "computed"
	Fill     = "fill"
	Unknown  = "unknown"
)

// moment is the time of an act: the instant, and the date in the store's zone, with the settings that hold then.
type moment struct {
	at       unit.Instant
	today    unit.Date
	settings catalogue.Settings
}

func (r Room) moment(ctx context.Context, s *store.Store) (moment, error) {
	settings, err := catalogue.CurrentSettings(ctx, s)
	if err != nil {
		return moment{}, err
	}
	now := r.Now()
	return moment{at: unit.InstantOf(now), today: unit.DateOf(now.In(settings.Location())), settings: settings}, nil
}

// entry begins a ledger entry of an act.
func (m moment) entry(act auth.Act, kind, reason string) models.Entry {
	return models.Entry{RecordedAt: m.at, HappenedAt: m.at, ByName: act.By.Name, Kind: kind, Reason: reason, RequestID: act.Request}
}

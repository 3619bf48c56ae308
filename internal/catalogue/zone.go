package catalogue

import (
	"context"
	"time"
)

// Zone is the zone in which people read times; UTC while the settings cannot be read.
func (r Room) Zone(ctx context.Context) *time.Location {
	s, err := CurrentSettings(ctx, r.Store)
	if err != nil {
		return time.UTC
	}
	return s.Location()
}

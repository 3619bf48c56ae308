package demo

import (
	"context"

	"spanroom/internal/catalogue"
)

// The days within which opened gas still goes before sealed gas that expires earlier: as the site began, and since it
// learned better half a year ago.
const (
	graceAtFirst = 14
	graceNow     = 30
)

// policy sets the site's figures as it began.
func (h *house) policy(ctx context.Context) error {
	return h.change(ctx, func(s *catalogue.Settings) {
		s.SiteName = "Harrowmere Water (fictional)"
		s.Zone = zone
		s.EmergencyNumbers = "Control room: 0000 (a placeholder of the demo: write your own numbers)"
		s.RetryPct = 0
		s.DefaultGauge = "digital"
		s.GraceDays = graceAtFirst
		s.DueAheadDays = 1
	})
}

// change writes new settings: those in force with an edit.
func (h *house) change(ctx context.Context, edit func(s *catalogue.Settings)) error {
	settings, err := catalogue.CurrentSettings(ctx, h.store)
	if err != nil {
		return err
	}
	edit(&settings)
	_, err = h.books().Change(ctx, h.as(supervisor), catalogue.Site, &settings)
	return err
}

package demo

import (
	"fmt"
	"time"

	"spanroom/internal/unit"
)

// zone is where Harrowmere lies.
const zone = "Europe/Amsterdam"

// clock is the time in the demo: it is put forward from scene to scene and never goes back, nor beyond the end.
type clock struct {
	at, end time.Time
	place   *time.Location
}

func newClock(end time.Time) (*clock, error) {
	place, err := time.LoadLocation(zone)
	if err != nil {
		return nil, err
	}
	return &clock{end: end.In(place), place: place}, nil
}

func (c *clock) now() time.Time { return c.at }

// today is the date at which the demo ends; scenes count their days from it.
func (c *clock) today() unit.Date { return unit.DateOf(c.end) }

// day gives a date so many days after today, or before it.
func (c *clock) day(days int) unit.Date { return c.today().AddDays(days) }

// set puts the clock to an hour such as "07:12" on a day.
func (c *clock) set(day int, hour string) error {
	at, err := time.ParseInLocation("2006-01-02 15:04", string(c.day(day))+" "+hour, c.place)
	if err != nil {
		return fmt.Errorf("an hour of the demo: %w", err)
	}
	c.forward(at)
	return nil
}

// wait lets some minutes pass.
func (c *clock) wait(minutes int) { c.forward(c.at.Add(time.Duration(minutes) * time.Minute)) }

func (c *clock) forward(to time.Time) {
	if to.After(c.end) {
		to = c.end
	}
	if to.After(c.at) {
		c.at = to
	}
}

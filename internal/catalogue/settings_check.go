package catalogue

import (
	"context"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"time"

	"spanroom/internal/gas"
)

// references lists the conditions at which litres may be counted.
func references() []string {
	return []string{"0C_1atm", "15C_1atm", "20C_1atm", "70F_1atm", "15C_1bar"}
}

var currencyCode = regexp.MustCompile(`^[A-Z]{3}$`)

func (s *Settings) head() head {
	code := Site
	return head{noun: settingsNoun, code: &code, version: &s.Version}
}

func (s *Settings) check(_ context.Context, c *checker) projection {
	c.text("site_name", &s.SiteName)
	c.note("emergency_numbers", &s.EmergencyNumbers)
	c.zone("zone", &s.Zone)
	if s.Currency = strings.TrimSpace(s.Currency); !currencyCode.MatchString(s.Currency) {
		c.wrong.Add("currency", fmt.Sprintf("%q is not a currency", clip(s.Currency)), "write its three capital letters, such as EUR")
	}
	c.oneOf("expiry_valid", &s.ExpiryValid, Through, Before)
	_, err := gas.ParseReference(s.Reference)
	c.wrong.Take("reference", err)
	s.gauges(c)
	s.lateDays(c)
	for _, f := range figures {
		switch v := valueOf(s, f.name); v.Kind() {
		case reflect.Int64:
			c.whole(f.name, v.Int(), int64(f.low), int64(f.high), f.unit)
		case reflect.Float64:
			c.number(f.name, v.Float(), f.low, f.high, f.unit)
		}
	}
	return projection{}
}

func (c *checker) zone(field string, zone *string) {
	*zone = strings.TrimSpace(*zone)
	if *zone == "" {
		c.missing(field, "write it like Europe/Amsterdam or UTC")
		return
	}
	// "Local" would be the zone of whatever machine this runs on.
	if _, err := time.LoadLocation(*zone); err != nil || *zone == "Local" {
		c.wrong.Add(field, fmt.Sprintf("%q is not a time zone", clip(*zone)), "write it like Europe/Amsterdam or UTC")
	}
}

func (s *Settings) gauges(c *checker) {
	if s.Gauges == nil {
		s.Gauges = slices.Clone(c.settings.Gauges)
	}
	seen := map[string]bool{}
	for i := range s.Gauges {
		g, field := &s.Gauges[i], fmt.Sprintf("gauges.%d.", i)
		if g.Code = strings.TrimSpace(g.Code); !codePattern.MatchString(g.Code) {
			c.wrong.Add(field+"code", fmt.Sprintf("%q cannot be a code", clip(g.Code)), "use up to 40 letters, digits, points, hyphens or underscores")
		}
		c.number(field+"limit_bar", g.LimitBar, 0.001, 50, "bar")
		c.once(field+"code", "gauge", g.Code, seen)
	}
	if s.DefaultGauge = strings.TrimSpace(s.DefaultGauge); !s.KnownGauge(s.DefaultGauge) {
		c.wrong.Add("default_gauge", fmt.Sprintf("there is no gauge %q", clip(s.DefaultGauge)), "choose one of the gauges that are listed, or add it to them")
	}
}

// lateDays checks the three reminders, each later than the one before.
func (s *Settings) lateDays(c *checker) {
	if s.LateDays == nil {
		s.LateDays = slices.Clone(c.settings.LateDays)
	}
	if len(s.LateDays) != 3 || !slices.IsSorted(s.LateDays) || s.LateDays[0] < 0 || s.LateDays[2] > 365 {
		c.wrong.Add("late_days", "the reminders are not three numbers of days, each as late as the one before or later", "give days for the holder, the clerk and the supervisor, such as 1, 3 and 7")
	}
}

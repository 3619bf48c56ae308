package catalogue_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

// The figures that RULES names as defaults.
func TestDefaultsAreThoseOfTheRules(t *testing.T) {
	got := fieldsOf(t, catalogue.DefaultSettings())
	holds(t, "settings", got, map[string]any{
		"version": 0.0, "expiry_valid": "through", "grace_days": 30.0, "cutoff_bar": 2.0, "cutoff_calibration_adsorbing_bar": 6.9,
		"cutoff_bump_adsorbing_bar": 3.5, "reference": "70F_1atm", "temperature_limit_k": 3.0, "unknown_temperature_limit_k": 10.0,
		"fill_limit_pct": 5.0, "retry_pct": 10.0, "pressure_age_days": 30.0, "default_gauge": "dial", "cold_fraction": 0.9, "warm_c": 15.0, "warm_hours": 24.0,
		"gauges":        []any{map[string]any{"code": "dial", "limit_bar": 2.5}, map[string]any{"code": "digital", "limit_bar": 0.5}},
		"rating_margin": 1.01, "making_tolerance_pct": 5.0, "making_tolerance_adsorbing_pct": 10.0, "oxygen_tolerance_vol_pct": 0.5, "sum_limit_vol_pct": 0.5,
		"low_on_arrival_fraction": 0.9, "hot_c": 50.0, "return_threshold_l": 1.0, "return_threshold_pct": 20.0, "remembered_below_l": 3.0,
		"late_days": []any{1.0, 3.0, 7.0}, "expiring_days": 14.0, "four_eyes": true, "bump_override_expired": false, "service": 0.95, "differ_limit": 0.25,
		"sparse_tests_per_quarter": 12.0, "joint_shipment_days": 14.0, "replenishment_days": 14.0, "exclude_certificate_missing": true,
		"match_tolerance_pct": 5.0, "match_oxygen_vol_pct": 0.3, "bump_margin": 1.1, "catalytic_oxygen_vol_pct": 10.0, "flow_tolerance_pct": 10.0, "pump_margin": 1.1,
		"confirm_months": 12.0, "line_wait_s_per_m": 3.0, "height_note_bar": 0.899,
		"cold_c": 3.0, "room_c": 21.0, "hot_van_c": 35.0, "same_gauge_share": 0.2,
	})
}

func TestSettingsHaveVersions(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := emptyRoom(s)
		before, err := catalogue.CurrentSettings(t.Context(), s)
		if err != nil || before.Version != 0 || before.GraceDays != 30 {
			t.Fatalf("before anybody set anything: %+v, %v", before, err)
		}
		setTo := func(grace int64) {
			settings := blankSettings(t, r)
			settings.GraceDays = grace
			changed(t, r, catalogue.Site, settings)
		}
		setTo(20)
		setTo(10)
		for version, grace := range map[int64]int64{0: 30, 1: 20, 2: 10} {
			old, err := catalogue.SettingsAt(t.Context(), s, version)
			if err != nil || old.GraceDays != grace || old.Version != version {
				t.Errorf("version %d has %d days, %v", version, old.GraceDays, err)
			}
		}
		now, err := catalogue.CurrentSettings(t.Context(), s)
		if err != nil || now.Version != 2 || now.GraceDays != 10 || len(now.Gauges) != 2 || len(now.LateDays) != 3 {
			t.Errorf("%+v, %v", now, err)
		}
		if _, err := catalogue.SettingsAt(t.Context(), s, 3); problem.KindOf(err) != problem.Missing {
			t.Errorf("version 3: %v", err)
		}
	})
}

func blankSettings(t *testing.T, r catalogue.Room) *catalogue.Settings {
	t.Helper()
	order, err := r.Blank(t.Context(), catalogue.SettingsNoun())
	if err != nil {
		t.Fatal(err)
	}
	return order.(*catalogue.Settings)
}

// What a request leaves out of the settings stays, and a list that it gives is a new list.
func TestPartOfTheSettings(t *testing.T) {
	r := emptyRoom(storetest.New(t))
	for _, text := range []string{`{"grace_days":20,"zone":"Europe/Amsterdam"}`, `{"gauges":[{"code":"dial","limit_bar":1.5}]}`} {
		settings := blankSettings(t, r)
		if err := json.Unmarshal([]byte(text), settings); err != nil {
			t.Fatal(err)
		}
		changed(t, r, catalogue.Site, settings)
	}
	now, err := r.Get(t.Context(), catalogue.SettingsNoun(), catalogue.Site)
	if err != nil {
		t.Fatal(err)
	}
	s := now.(*catalogue.Settings)
	if s.GraceDays != 20 || s.Zone != "Europe/Amsterdam" || s.CutoffBar != 2 || len(s.LateDays) != 3 || len(s.Gauges) != 1 || s.GaugeLimitBar("digital") != 1.5 {
		t.Errorf("%+v", s)
	}
	if s.KnownGauge("digital") {
		t.Error("a gauge that was taken out is still known")
	}
}

func TestSettingsThatAreRefused(t *testing.T) {
	r := emptyRoom(storetest.New(t))
	tests := []struct {
		field, says string
		set         func(s *catalogue.Settings)
	}{
		{"zone", "not a time zone", func(s *catalogue.Settings) { s.Zone = "Europe/Harrowmere" }},
		{"zone", "not a time zone", func(s *catalogue.Settings) { s.Zone = "Local" }},
		{"zone", "not given", func(s *catalogue.Settings) { s.Zone = " " }},
		{"currency", "not a currency", func(s *catalogue.Settings) { s.Currency = "euro" }},
		{"expiry_valid", `cannot be "after"`, func(s *catalogue.Settings) { s.ExpiryValid = "after" }},
		{"reference", "not a reference", func(s *catalogue.Settings) { s.Reference = "25C_1atm" }},
		{"gauges.0.code", "cannot be a code", func(s *catalogue.Settings) { s.Gauges = []catalogue.Gauge{{"", 1}, {"dial", 1}} }},
		{"gauges.1.limit_bar", "0 bar is out of range", func(s *catalogue.Settings) { s.Gauges = []catalogue.Gauge{{"dial", 1}, {"fine", 0}} }},
		{"gauges.1.code", "more than once", func(s *catalogue.Settings) { s.Gauges = []catalogue.Gauge{{"dial", 1}, {"dial", 1}} }},
		{"default_gauge", "no gauge", func(s *catalogue.Settings) { s.DefaultGauge = "quartz" }},
		{"late_days", "three numbers", func(s *catalogue.Settings) { s.LateDays = []int64{3, 1, 7} }},
		{"late_days", "three numbers", func(s *catalogue.Settings) { s.LateDays = []int64{1, 3} }},
		{"grace_days", "-1 days is out of range", func(s *catalogue.Settings) { s.GraceDays = -1 }},
		{"service", "1.5 is out of range", func(s *catalogue.Settings) { s.Service = 1.5 }},
		{"cutoff_bar", "NaN bar is out of range", func(s *catalogue.Settings) { s.CutoffBar = math.NaN() }},
		{"rating_margin", "out of range", func(s *catalogue.Settings) { s.RatingMargin = 0.9 }},
		{"match_tolerance_pct", "0 % is out of range", func(s *catalogue.Settings) { s.MatchTolerancePct = 0 }},
		{"bump_margin", "0.9 is out of range", func(s *catalogue.Settings) { s.BumpMargin = 0.9 }},
		{"confirm_months", "0 months is out of range", func(s *catalogue.Settings) { s.ConfirmMonths = 0 }},
		{"height_note_bar", "899 bar is out of range", func(s *catalogue.Settings) { s.HeightNoteBar = 899 }},
	}
	for _, tt := range tests {
		settings := blankSettings(t, r)
		tt.set(settings)
		_, err := r.Change(t.Context(), ada, catalogue.Site, settings)
		e := problemOf(t, err)
		if e.Kind != problem.Invalid || len(e.Fields) != 1 || e.Fields[0].Name != tt.field || !strings.Contains(e.Fields[0].Text, tt.says) || e.Fields[0].Advice == "" {
			t.Errorf("%s: %+v, want %q", tt.field, e.Fields, tt.says)
		}
	}
}

func TestTodayIsTheSitesDate(t *testing.T) {
	settings := catalogue.DefaultSettings()
	late := time.Date(2027, 3, 27, 23, 30, 0, 0, time.UTC)
	for zone, want := range map[string]unit.Date{"UTC": "2027-03-27", "Europe/Amsterdam": "2027-03-28", "America/New_York": "2027-03-27"} {
		settings.Zone = zone
		if got := settings.Today(late); got != want {
			t.Errorf("%s: %s, want %s", zone, got, want)
		}
	}
}

func TestTheDayOfExpiry(t *testing.T) {
	settings := catalogue.DefaultSettings()
	for valid, through := range map[string]bool{catalogue.Through: true, catalogue.Before: false} {
		if settings.ExpiryValid = valid; settings.ThroughDay() != through {
			t.Errorf("%s: %v", valid, !through)
		}
	}
}

func TestMakingTolerance(t *testing.T) {
	settings, four := catalogue.DefaultSettings(), int64(400)
	tests := []struct {
		name string
		part store.BlendComponent
		want unit.Amount
	}{
		{"a stable gas", store.BlendComponent{Formula: "CO", Amount: 100_000}, 5_000},
		{"an adsorbing gas", store.BlendComponent{Formula: "H2S", Amount: 25_000, Adsorbs: true}, 2_500},
		{"oxygen", store.BlendComponent{Formula: "O2", Amount: 180_000_000}, 5_000_000},
		{"the component says", store.BlendComponent{Formula: "O2", Amount: 100_000, MakingTolerance: &four}, 4_000},
		{"the blend says", store.BlendComponent{Formula: "H2S", Amount: 25_000, Tolerance: 500, MakingTolerance: &four}, 500},
	}
	for _, tt := range tests {
		if got := settings.MakingTolerance(tt.part); got != tt.want {
			t.Errorf("%s: %d, want %d", tt.name, got, tt.want)
		}
	}
}

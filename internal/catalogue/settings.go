package catalogue

import (
	"slices"
	"time"

	"spanroom/internal/unit"
)

// Settings are the site's policy: every figure that a rule leaves to the site. They are one versioned document, and what was
// decided is explained with the version of its day.
type Settings struct {
	Version int64 `json:"version"`

	SiteName         string `json:"site_name"`
	Zone             string `json:"zone"`
	EmergencyNumbers string `json:"emergency_numbers"`
	Currency         string `json:"currency"`

	ExpiryValid  string `json:"expiry_valid"` // through or before
	GraceDays    int64  `json:"grace_days"`
	ExpiringDays int64  `json:"expiring_days"`
	DueAheadDays int64  `json:"due_ahead_days"`

	Reference                string  `json:"reference"`
	AtmosphereBar            float64 `json:"atmosphere_bar"`
	TemperatureLimitK        float64 `json:"temperature_limit_k"`
	UnknownTemperatureLimitK float64 `json:"unknown_temperature_limit_k"`
	ColdC                    float64 `json:"cold_c"` // what people mean by cold, room and hot van
	RoomC                    float64 `json:"room_c"`
	HotVanC                  float64 `json:"hot_van_c"`
	VolumeLimitPct           float64 `json:"volume_limit_pct"`
	FlowLimitPct             float64 `json:"flow_limit_pct"`
	FillLimitPct             float64 `json:"fill_limit_pct"`
	Gauges                   []Gauge `json:"gauges"`
	DefaultGauge             string  `json:"default_gauge"`
	SameGaugeShare           float64 `json:"same_gauge_share"`
	PressureAgeDays          int64   `json:"pressure_age_days"`

	CutoffBar                     float64 `json:"cutoff_bar"`
	CutoffCalibrationAdsorbingBar float64 `json:"cutoff_calibration_adsorbing_bar"`
	CutoffBumpAdsorbingBar        float64 `json:"cutoff_bump_adsorbing_bar"`
	AdsorbingAbovePPM             float64 `json:"adsorbing_above_ppm"`

	ColdFraction float64 `json:"cold_fraction"`
	WarmC        float64 `json:"warm_c"`
	WarmHours    int64   `json:"warm_hours"`

	MakingTolerancePct          float64 `json:"making_tolerance_pct"`
	MakingToleranceAdsorbingPct float64 `json:"making_tolerance_adsorbing_pct"`
	OxygenToleranceVolPct       float64 `json:"oxygen_tolerance_vol_pct"`
	SumLimitVolPct              float64 `json:"sum_limit_vol_pct"`
	LowOnArrivalFraction        float64 `json:"low_on_arrival_fraction"`
	HotC                        float64 `json:"hot_c"`

	MatchTolerancePct     float64 `json:"match_tolerance_pct"`
	MatchOxygenVolPct     float64 `json:"match_oxygen_vol_pct"`
	BumpMargin            float64 `json:"bump_margin"`
	CatalyticOxygenVolPct float64 `json:"catalytic_oxygen_vol_pct"`
	FlowTolerancePct      float64 `json:"flow_tolerance_pct"`
	PumpMargin            float64 `json:"pump_margin"`
	ConfirmMonths         int64   `json:"confirm_months"`
	LineWaitSPerM         float64 `json:"line_wait_s_per_m"`
	HeightNoteBar         float64 `json:"height_note_bar"`

	RetryPct            float64 `json:"retry_pct"`
	RatingMargin        float64 `json:"rating_margin"`
	BumpOverrideExpired bool    `json:"bump_override_expired"`
	SuggestBelowL       float64 `json:"suggest_below_l"`
	SuggestDays         int64   `json:"suggest_days"`
	ReplenishmentDays   int64   `json:"replenishment_days"`
	ReturnThresholdL    float64 `json:"return_threshold_l"`
	ReturnThresholdPct  float64 `json:"return_threshold_pct"`
	RememberedBelowL    float64 `json:"remembered_below_l"`
	StandingLossBar     float64 `json:"standing_loss_bar"`
	LeakCheckHours      int64   `json:"leak_check_hours"`
	LateDays            []int64 `json:"late_days"` // to the holder, the clerk, the supervisor
	FourEyes            bool    `json:"four_eyes"`

	Service                   float64 `json:"service"`
	ReviewDays                int64   `json:"review_days"`
	ReserveDays               int64   `json:"reserve_days"`
	DifferLimit               float64 `json:"differ_limit"`
	SparseTestsPerQuarter     int64   `json:"sparse_tests_per_quarter"`
	HistoryWeeks              int64   `json:"history_weeks"`
	JointShipmentDays         int64   `json:"joint_shipment_days"`
	OutLateDays               int64   `json:"out_late_days"`
	ExcludeCertificateMissing bool    `json:"exclude_certificate_missing"`

	location *time.Location
}

// Gauge is a sort of pressure gauge with the half-width within which its readings lie.
type Gauge struct {
	Code     string  `json:"code"`
	LimitBar float64 `json:"limit_bar"`
}

// What an expiry date says of its own day.
const (
	Through = "through" // the gas may be used until the end of that day
	Before  = "before"  // the day before is the last
)

// Location is the zone in which the site's dates are.
func (s Settings) Location() *time.Location {
	if s.location != nil {
		return s.location
	}
	zone, err := time.LoadLocation(s.Zone)
	if err != nil {
		return time.UTC // the check lets only zones through that load
	}
	return zone
}

// Today is the date at the site.
func (s Settings) Today(now time.Time) unit.Date { return unit.DateOf(now.In(s.Location())) }

// ThroughDay tells whether gas may still be used on the day of its expiry.
func (s Settings) ThroughDay() bool { return s.ExpiryValid != Before }

// GaugeLimitBar gives the limit of error of a gauge by its code; the default gauge's for a code that is not known any more.
func (s Settings) GaugeLimitBar(code string) float64 {
	usual := 0.0
	for _, g := range s.Gauges {
		if g.Code == code {
			return g.LimitBar
		}
		if g.Code == s.DefaultGauge {
			usual = g.LimitBar
		}
	}
	return usual
}

// GaugeCodes lists the gauges by their codes, in the site's order.
func (s Settings) GaugeCodes() []string {
	codes := make([]string, len(s.Gauges))
	for i, g := range s.Gauges {
		codes[i] = g.Code
	}
	return codes
}

// KnownGauge tells whether the site has a gauge of this code.
func (s Settings) KnownGauge(code string) bool {
	return slices.Contains(s.GaugeCodes(), code)
}

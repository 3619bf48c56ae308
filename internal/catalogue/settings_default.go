package catalogue

import "spanroom/internal/unit"

// DefaultSettings are the policy of a site that has set nothing yet. It is the one place where RULES' defaults stand in code.
func DefaultSettings() Settings {
	return Settings{
		Zone: "UTC", Currency: "EUR",

		ExpiryValid: Through, GraceDays: 30, ExpiringDays: 14, DueAheadDays: 3,

		Reference: "70F_1atm", AtmosphereBar: unit.StandardAtmosphere,
		TemperatureLimitK: 3, UnknownTemperatureLimitK: 10, ColdC: 3, RoomC: 21, HotVanC: 35,
		VolumeLimitPct: 2, FlowLimitPct: 10, FillLimitPct: 5,
		Gauges: []Gauge{{"dial", 2.5}, {"digital", 0.5}}, DefaultGauge: "dial", SameGaugeShare: 0.2, PressureAgeDays: 30,

		CutoffBar: 2.0, CutoffCalibrationAdsorbingBar: 6.9, CutoffBumpAdsorbingBar: 3.5, AdsorbingAbovePPM: 0,

		ColdFraction: 0.9, WarmC: 15, WarmHours: 24,

		MakingTolerancePct: 5, MakingToleranceAdsorbingPct: 10, OxygenToleranceVolPct: 0.5, SumLimitVolPct: 0.5,
		LowOnArrivalFraction: 0.9, HotC: 50,

		MatchTolerancePct: 5, MatchOxygenVolPct: 0.3, BumpMargin: 1.1, CatalyticOxygenVolPct: 10, FlowTolerancePct: 10, PumpMargin: 1.1,
		ConfirmMonths: 12, LineWaitSPerM: 3, HeightNoteBar: 0.899,

		RetryPct: 10, RatingMargin: 1.01, BumpOverrideExpired: false, SuggestBelowL: 20, SuggestDays: 14, ReplenishmentDays: 14,

		ReturnThresholdL: 1.0, ReturnThresholdPct: 20, RememberedBelowL: 3, StandingLossBar: 0.5, LeakCheckHours: 24,
		LateDays: []int64{1, 3, 7},

		FourEyes: true,

		Service: 0.95, ReviewDays: 7, ReserveDays: 0, DifferLimit: 0.25, SparseTestsPerQuarter: 12, HistoryWeeks: 26,
		JointShipmentDays: 14, OutLateDays: 7, ExcludeCertificateMissing: true,
	}
}

package fit

// Policy are the site's figures for the gas and fittings check.
type Policy struct {
	MatchPct        float64 // how far a set value may be from the certified one
	MatchOxygenVol  float64 // the same for oxygen, in %vol
	BumpMargin      float64 // a bump gas is at least so many times the alarm
	CatalyticOxygen float64 // the oxygen in %vol that a catalytic sensor needs
	FlowPct         float64 // around the one figure of a manual that gives no range
	PumpMargin      float64 // fixed flow over the pump's rate
	LineWaitSPerM   float64 // where the manual names no time
	RatingMargin    float64 // on a regulator's rating
	HotFactor       float64 // pressure at the site's hot temperature over that at 21 °C, for ratings stated as absolute
}

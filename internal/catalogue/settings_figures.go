package catalogue

// figure describes one number or tick of the settings: its words for the form, and the bounds within which it makes sense.
type figure struct {
	group, name, label, hint string
	low, high                float64
	unit                     string
}

const (
	aboutDates    = "Dates"
	aboutReading  = "Reading pressure"
	aboutMinimum  = "Minimum pressure"
	aboutCold     = "Cold cylinders"
	aboutArrival  = "Goods in"
	aboutMatch    = "Gas and instruments"
	aboutUse      = "Gas and fittings check"
	aboutReturn   = "Bringing back"
	aboutTrust    = "Holds"
	aboutPlanning = "Reorder"
)

// figures has every number of the settings, in the order of the form.
var figures = []figure{
	{aboutDates, "grace_days", "Sealed before opened", "A sealed cylinder goes first when it expires so many days before the opened ones.", 0, 3650, "days"},
	{aboutDates, "expiring_days", "Expires soon", "So many days ahead the stores desk shows what expires.", 0, 3650, "days"},
	{aboutDates, "due_ahead_days", "Monitors due ahead", "So many days ahead a monitor is shown as due for its test.", 0, 365, "days"},

	{aboutReading, "atmosphere_bar", "Pressure of the air", "Added to every gauge pressure.", 0.4, 1.2, "bar"},
	{aboutReading, "temperature_limit_k", "Temperature, plus or minus", "Limit of error of a cylinder's temperature.", 0, 50, "K"},
	{aboutReading, "unknown_temperature_limit_k", "Unknown temperature, plus or minus", "Where nobody gave one.", 0, 50, "K"},
	{aboutReading, "cold_c", "Cold means", "The temperature of a cylinder that is said to be cold.", -40, 60, "°C"},
	{aboutReading, "room_c", "Room means", "Of one that is as warm as the room.", -40, 60, "°C"},
	{aboutReading, "hot_van_c", "Hot van means", "Of one that is said to be hot, as in a van in summer.", -40, 60, "°C"},
	{aboutReading, "volume_limit_pct", "Water volume, plus or minus", "Limit of error of the catalogue's water volume.", 0, 50, "%"},
	{aboutReading, "flow_limit_pct", "Flow, plus or minus", "Limit of error of a regulator's flow.", 0, 90, "%"},
	{aboutReading, "fill_limit_pct", "Fill, plus or minus", "Limit of error of the fill specification.", 0, 50, "%"},
	{aboutReading, "same_gauge_share", "The same gauge twice", "What is left of its limit of error in the difference of two readings: its offset is in both and cancels.", 0, 1, ""},
	{aboutReading, "pressure_age_days", "Measured at least every", "An opened cylinder that was not measured for longer says that its pressure is a calculation.", 1, 3650, "days"},

	{aboutMinimum, "cutoff_bar", "Minimum pressure", "Below it gas is not used, where the item says nothing else.", 0, 50, "bar"},
	{aboutMinimum, "cutoff_calibration_adsorbing_bar", "Calibration with adsorbing gas", "Minimum pressure for calibration with a strongly adsorbing gas.", 0, 50, "bar"},
	{aboutMinimum, "cutoff_bump_adsorbing_bar", "Bump test with adsorbing gas", "Minimum pressure for bump tests with a strongly adsorbing gas.", 0, 50, "bar"},
	{aboutMinimum, "adsorbing_above_ppm", "Adsorbing above", "A strongly adsorbing gas counts as one above this amount.", 0, 1_000_000, "ppm"},

	{aboutCold, "cold_fraction", "Share of the saturation pressure", "Above this share a component may have condensed.", 0.1, 1, ""},
	{aboutCold, "warm_c", "Warm from", "A cold cylinder recovers at this temperature or above.", -20, 50, "°C"},
	{aboutCold, "warm_hours", "Warm for", "How long it must stand warm.", 0, 720, "hours"},

	{aboutArrival, "making_tolerance_pct", "Making tolerance", "How far a certified value may lie from the nominal one.", 0, 50, "%"},
	{aboutArrival, "making_tolerance_adsorbing_pct", "Making tolerance, adsorbing", "The same for strongly adsorbing gases.", 0, 50, "%"},
	{aboutArrival, "oxygen_tolerance_vol_pct", "Making tolerance, oxygen", "The same for oxygen.", 0, 10, "%vol"},
	{aboutArrival, "sum_limit_vol_pct", "Sum of a blend", "Components and balance make 100 %vol within this.", 0, 5, "%vol"},
	{aboutArrival, "low_on_arrival_fraction", "Low on arrival", "Below this share of the fill a new cylinder is held.", 0.1, 1, ""},
	{aboutArrival, "hot_c", "Hottest fill", "A pressure above that of the fill at this temperature is refused.", 21, 65, "°C"},

	{aboutMatch, "match_tolerance_pct", "Set and certified value", "How far a set value may lie from the certified one, where the model says nothing else.", 0.1, 50, "%"},
	{aboutMatch, "match_oxygen_vol_pct", "Set and certified value, oxygen", "The same for oxygen.", 0.01, 5, "%vol"},
	{aboutMatch, "bump_margin", "Bump gas over the alarm, times", "A bump gas is at least so many times the alarm that it shall set off.", 1, 3, ""},
	{aboutMatch, "catalytic_oxygen_vol_pct", "Oxygen for catalytic sensors", "A gas with less does not burn on them, where the model says nothing else.", 0, 21, "%vol"},
	{aboutMatch, "flow_tolerance_pct", "Around the flow of a manual", "Where the manual has one figure and no range.", 0, 50, "%"},
	{aboutMatch, "pump_margin", "Flow over the pump's, times", "A fixed flow is at least so many times what a pump draws.", 1, 3, ""},
	{aboutMatch, "confirm_months", "Set values compared at least every", "With the screens; then a check-out asks for it.", 1, 120, "months"},
	{aboutMatch, "line_wait_s_per_m", "Waiting for a sample line", "Where the manual names no time.", 0, 120, "s for each m"},
	{aboutMatch, "height_note_bar", "High up, air below", "Oxygen sensors are calibrated at the place of use where the air is thinner than this.", 0.4, 1.1, "bar"},

	{aboutUse, "retry_pct", "Allowance for repeats", "Added to the gas that tests need.", 0, 200, "%"},
	{aboutUse, "rating_margin", "Rating, times", "The rated inlet pressure times this must cover the fill.", 1, 1.1, ""},
	{aboutUse, "bump_override_expired", "Expired gas for bump tests", "A supervisor may let it through with a reason.", 0, 0, ""},
	{aboutUse, "suggest_below_l", "Suggest for bump tests below", "Adsorbing gas of which less is left.", 0, 10_000, "L"},
	{aboutUse, "suggest_days", "Suggest for bump tests with more than", "Such gas that lasts longer than this.", 0, 3650, "days"},
	{aboutUse, "replenishment_days", "Last one, replenishment", "Taking the last sealed one tells the purchaser when the next is further away.", 0, 3650, "days"},

	{aboutReturn, "return_threshold_l", "Least difference", "Less than this is never asked about.", 0, 1000, "L"},
	{aboutReturn, "return_threshold_pct", "Difference of what was logged", "Added to the uncertainty of the readings.", 0, 200, "%"},
	{aboutReturn, "remembered_below_l", "A remembered answer is enough below", "For a loss smaller than this.", 0, 1000, "L"},
	{aboutReturn, "standing_loss_bar", "Loss while standing", "A drop above this and above the uncertainty is a suspected leak.", 0, 50, "bar"},
	{aboutReturn, "leak_check_hours", "Leak check after", "The second reading of a pressure-hold check.", 1, 720, "hours"},

	{aboutTrust, "four_eyes", "Four eyes", "Who placed a hold for leak, recall or doubtful gas does not release it.", 0, 0, ""},

	{aboutPlanning, "service", "Target", "Probability of no stock-out that an order must reach.", 0.5, 0.9999, ""},
	{aboutPlanning, "review_days", "Review", "How often the plan is looked at.", 1, 365, "days"},
	{aboutPlanning, "reserve_days", "Reserve", "Life that an order must leave unused.", 0, 3650, "days"},
	{aboutPlanning, "differ_limit", "Schedule against history", "A greater difference is flagged.", 0, 10, ""},
	{aboutPlanning, "sparse_tests_per_quarter", "Sparse below", "Fewer tests a quarter than this: the schedule counts, not history.", 0, 10_000, "tests"},
	{aboutPlanning, "history_weeks", "History", "So many weeks of use are looked at.", 4, 260, "weeks"},
	{aboutPlanning, "joint_shipment_days", "Joint shipment", "Lines of one supplier this close together are put together.", 0, 365, "days"},
	{aboutPlanning, "out_late_days", "Out and late", "A cylinder later than this does not count as stock.", 0, 365, "days"},
	{aboutPlanning, "exclude_certificate_missing", "Leave out what waits for its certificate", "It does not count as stock.", 0, 0, ""},
}

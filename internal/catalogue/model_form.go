package catalogue

func modelForm() []FormField {
	const flow, settings, channels = "Gas and flow, as the manual says", "Setting it", "What it measures"
	return []FormField{
		codeField,
		nameField,
		{Name: "manual", Label: "Manual", Hint: "Its title and revision.", Kind: Text},
		{Name: "sampling", Label: "Sampling", Hint: "Gas reaches the sensors by itself, or a pump draws it. Empty: not known.", Kind: Select, Options: samplings, Group: flow},
		{Name: "flow_min", Label: "Least flow", Kind: Quantity, Units: flowUnits, Group: flow},
		{Name: "flow_max", Label: "Most flow", Kind: Quantity, Units: flowUnits, Group: flow},
		{Name: "flow", Label: "Flow", Hint: "Where the manual has one figure and no range.", Kind: Quantity, Units: flowUnits, Group: flow},
		{Name: "pump_flow", Label: "Rate of the pump", Hint: "Of a pumped one.", Kind: Quantity, Units: flowUnits, Group: flow},
		{Name: "vent", Label: "Exhaust", Hint: "How the gas goes off, such as a short open hose.", Kind: Text, Group: flow},
		{Name: "zero_gas", Label: "Zeroed with", Hint: "Nitrogen only where the manual says so. Empty: air.", Kind: Select, Options: zeroGases, Group: settings},
		{Name: "set_values_adjustable", Label: "Its set values can be entered", Hint: "It can be set to the certified values of another cylinder.", Kind: Checkbox, Group: settings},
		{Name: "connected", Label: "Connected", Hint: "Its alarms reach somebody far away, who wants to hear of a test.", Kind: Checkbox, Group: settings},
		{Name: "channels", Label: "Channels", Hint: "As far as they are known.", Kind: Rows, Group: channels, One: "Channel", Rows: channelForm},
		{Name: "cross_sensitivities", Label: "Other gases on a channel", Hint: "As the manual's table has them.", Kind: Rows, Group: channels, One: "Line of other gases", Rows: []FormField{
			{Name: "channel", Label: "Channel", Hint: "By its component.", Kind: Select, Choices: "component", Required: true},
			{Name: "gases", Label: "Other gases", Hint: "Codes with commas between, such as H2S, H2.", Kind: Words, Required: true},
			{Name: "interferes", Label: "They add to the reading", Kind: Checkbox},
		}},
		{Name: "reasons.R19", Label: "Where the manual confirms the factors", Hint: "Needed for a factor: its revision and page. A new factor wants it written anew.", Kind: Text, Group: channels},
		noteField,
	}
}

const (
	aboutSensor = "Range and sensor"
	aboutScale  = "A display in %LEL, or one scaled in another gas"
)

var channelForm = []FormField{
	{Name: "component", Label: "Component", Hint: "The gas in the cylinder.", Kind: Select, Choices: "component", Required: true},
	{Name: "name", Label: "Name", Hint: "As the display has it.", Kind: Text},
	{Name: "set_value", Label: "Set value", Hint: "The gas that it expects.", Kind: Quantity, Units: levelUnits},
	{Name: "low_alarm", Label: "Low alarm", Kind: Quantity, Units: levelUnits},
	{Name: "high_alarm", Label: "High alarm", Kind: Quantity, Units: levelUnits},
	{Name: "range", Label: "Range up to", Kind: Quantity, Units: levelUnits, Group: aboutSensor},
	{Name: "span_by", Label: "Spanned by", Hint: "Clean air only for oxygen. Empty: cylinder.", Kind: Select, Options: []string{ByCylinder, ByCleanAir}, Group: aboutSensor},
	{Name: "sensor", Label: "Sensor", Kind: Select, Options: Sensors(), Group: aboutSensor},
	{Name: "accuracy", Label: "Accuracy", Hint: "Plus or minus.", Kind: Quantity, Units: amountUnits, Group: aboutSensor},
	{Name: "t90", Label: "T90", Hint: "Time to 90 % of the reading.", Kind: Quantity, Units: durationUnits, Group: aboutSensor},
	{Name: "tolerance_pct", Label: "Tolerance, %", Hint: "Between set and certified value. Empty: as in the settings.", Kind: Number, Group: aboutSensor},
	{Name: "oxygen_min", Label: "Oxygen that it needs", Hint: "In the gas, for a catalytic sensor. Empty: as in the settings.", Kind: Quantity, Units: volPctUnits, Group: aboutSensor},
	{Name: "lel", Label: "100 %LEL is", Hint: "Of the cylinder's gas, as the instrument takes it.", Kind: Quantity, Units: volPctUnits, Group: aboutScale},
	{Name: "lel_basis", Label: "Whose figure", Hint: "The instrument's own wins.", Kind: Text, Options: lelBases, Group: aboutScale},
	{Name: "shown_gas", Label: "Scaled in", Hint: "Empty: in the cylinder's gas.", Kind: Select, Choices: "component", Group: aboutScale},
	{Name: "factor", Label: "Factor", Hint: "The number that the manual prints.", Kind: Number, Group: aboutScale},
	{Name: "factor_reading", Label: "What it means there", Hint: "Manuals print three numbers that look alike.", Kind: Select, Options: factorReadings(), Group: aboutScale},
}

package fit

import "spanroom/internal/unit"

// Instruments are those of one model that are set alike, so that one verdict holds for all of them.
type Instruments struct {
	Serials  []string
	Model    string // "" where nobody knows it
	Channels []Channel
	Cross    []Cross

	Sampling Sampling
	FlowMin  unit.Flow // of the manual; 0 where it does not say
	FlowMax  unit.Flow
	FlowOne  unit.Flow // the one figure of a manual that gives no range
	PumpFlow unit.Flow

	NitrogenZero bool      // the manual zeroes it with nitrogen
	MaySet       bool      // its set values can be entered by the user
	Unconfirmed  string    // why its set values have to be compared with the screen again; "" for not
	Connected    bool      // it reports alarms to somebody far away
	FilterDue    unit.Date // the same for all of them; "" where the site has set none
	OutOfService bool
}

// Sampling is how gas comes to the sensors.
type Sampling string

// The ways of sampling; "" is not known.
const (
	Diffusion Sampling = "diffusion"
	Pumped    Sampling = "pumped"
)

// Channel is one gas that an instrument measures.
type Channel struct {
	Component string // the gas in the cylinder that spans it
	Formula   string // of that gas, by which the tables know it; "" for its code
	Name      string // as the display calls it; "" for the component
	Set       Level
	LowAlarm  Level
	HighAlarm Level
	Range     Level
	Accuracy  unit.Amount
	T90       unit.Seconds
	CleanAir  bool // spanned by clean air, not by a cylinder
	Sensor    string
	Tolerance float64 // of the set value in percent; 0 for the site's
	OxygenMin unit.Amount
	Scale     *Scale // of a channel that shows one gas and is spanned with another: combustible in %LEL, photoionisation; nil for others
}

// Scale is how a combustible channel shows gas: in %LEL of one gas, spanned with another.
type Scale struct {
	Shown     string        // the gas that the display is scaled in; "" or the channel's component are the same
	LEL       unit.Amount   // the cylinder's gas at 100 %LEL on the instrument's own basis; 0 where unknown
	Basis     string        // whose figure that is
	Factor    PrintedFactor // as the manual prints it
	HasFactor bool
}

// Level is a concentration on a display: an amount, or %LEL on the channel's own scale.
type Level struct {
	Amount unit.Amount
	LEL    float64 // in percent
	InLEL  bool
	Given  bool
}

// Cross is what the manual says of gases on a channel that is not theirs.
type Cross struct {
	Channel    string // its component
	Gases      []string
	Interferes bool
}

// label is how findings name the channel.
func (c Channel) label() string {
	if c.Name != "" {
		return c.Name
	}
	return c.Component
}

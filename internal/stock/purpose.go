package stock

// Purpose is what a test is for.
type Purpose string

// The purposes, from the one that asks least of the gas.
const (
	Bump        Purpose = "bump"
	Line        Purpose = "line"
	Zero        Purpose = "zero"
	Check       Purpose = "check"
	Calibration Purpose = "calibration"
)

// exact tells whether the purpose relies on the certified value: such gas has to be right, not only present.
func (p Purpose) exact() bool { return p == Calibration || p == Check || p == Zero }

// compares tells whether the purpose holds what a monitor shows against the certified value.
func (p Purpose) compares() bool { return p == Calibration || p == Check }

// word is how people say it, with its plural.
func (p Purpose) word() string {
	switch p {
	case Calibration:
		return "calibrations"
	case Check:
		return "calibration checks"
	case Zero:
		return "zero settings"
	case Line:
		return "sample-line checks"
	}
	return "bumps"
}

package fit

import "spanroom/internal/unit"

// Purpose is what a test is for, in the words of the procedures.
type Purpose string

// The purposes. Calibration, check and zero rely on the value in the gas; bump and line only show that gas arrives.
const (
	Bump        Purpose = "bump"
	Line        Purpose = "line"
	Zero        Purpose = "zero"
	Check       Purpose = "check"
	Calibration Purpose = "calibration"
)

// Test is one test as a procedure does it.
type Test struct {
	Purpose  Purpose
	Code     string // of the procedure, as findings name it
	Flow     unit.Flow
	Exposure unit.Seconds
	Until    unit.Date // the last day on which it is planned
	LowOnly  bool      // a bump that is to prove the low alarms alone
	Entering bool      // the instruments are set to what the gas makes them show
}

// Gas is what a cylinder holds, as its papers say.
type Gas struct {
	Label   string // the tag or lot, as findings name it
	Parts   []Part // without the balance gas
	Balance string // its formula
}

// Part is one component of a gas with its certified amount.
type Part struct {
	Component   string // its code in the catalogue, by which channels name it
	Formula     string // by which the tables name it
	Amount      unit.Amount
	Uncertainty unit.Amount
	Adsorbs     bool
}

// part gives a component of the gas, or nil.
func (g Gas) part(component string) *Part {
	for i := range g.Parts {
		if g.Parts[i].Component == component {
			return &g.Parts[i]
		}
	}
	return nil
}

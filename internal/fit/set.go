package fit

import (
	"cmp"

	"spanroom/internal/unit"
)

// Bottle is a cylinder as fittings meet it.
type Bottle struct {
	Gas
	Outlet     Outlet
	FillBar    float64 // nominal, at 21 °C
	HotVehicle bool    // it goes into a vehicle that gets hot
}

// Set is what is taken along with a cylinder; nil is a part that nobody named.
type Set struct {
	Regulator *Regulator
	Tubing    *Tubing
	Cap       *Cap
}

// Regulator is the regulator as it is assembled, an adapter that belongs to it included.
type Regulator struct {
	Code     string
	Inlet    Outlet
	MaxBar   float64  // the rated inlet pressure
	Absolute bool     // the rating is a maximum that heat must not pass either
	Adapter  *Adapter // made by the supplier and catalogued with it
	Demand   bool     // it gives what a pump draws
	Flow     unit.Flow
	Vented   bool // an open tee behind it
	Body     string
	LastGas  []string // formulas of the gas that it was last used on; none where nobody knows
	Upkeep
}

// Adapter leads from a cylinder's outlet to a regulator's inlet.
type Adapter struct {
	From, To Outlet
	MaxBar   float64
}

// Tubing is one length of tubing.
type Tubing struct {
	Code     string
	Material string
	Length   unit.Length
	LastGas  []string // as of a regulator
	Upkeep
}

// Cap is a calibration cap.
type Cap struct {
	Code   string
	Models []string // that it is made for; none for any
	Upkeep
}

// Upkeep is what the site keeps of the condition of a part.
type Upkeep struct {
	OutOfService bool
	DueOn        unit.Date // "" where the site has set no date
	Uses         int64     // since it was last checked
	DueAfterUses int64     // 0 where the site has set no count
}

func (b Bottle) name() string     { return named("cylinder", b.Label) }
func (r *Regulator) name() string { return named("regulator", r.Code) }
func (x *Tubing) name() string    { return named("tubing", x.Code) }
func (c *Cap) name() string       { return named("cap", c.Code) }

func (r *Regulator) subject() string { return cmp.Or(r.Code, "regulator") }
func (x *Tubing) subject() string    { return cmp.Or(x.Code, "tubing") }

// named is "regulator R-05", or "the regulator" where it has no code.
func named(noun, code string) string {
	if code == "" {
		return "the " + noun
	}
	return noun + " " + code
}

// name is how findings call instruments that are set alike.
func (m *Instruments) name() string {
	return cmp.Or(m.Model, m.subject(""), "the instrument")
}

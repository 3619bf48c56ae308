package gas

import "spanroom/internal/unit"

// Reference names the temperature and pressure at which litres of free gas are counted.
type Reference string

type condition struct{ kelvin, bar float64 }

var references = map[Reference]condition{
	"0C_1atm":  {273.15, unit.StandardAtmosphere},
	"15C_1atm": {288.15, unit.StandardAtmosphere},
	"20C_1atm": {293.15, unit.StandardAtmosphere},
	"70F_1atm": {294.2611, unit.StandardAtmosphere},
	"15C_1bar": {288.15, 1},
}

// ParseReference reads the name of a reference condition.
func ParseReference(text string) (Reference, error) {
	r := Reference(text)
	if _, ok := references[r]; !ok {
		return "", invalid("choose one of 0C_1atm, 15C_1atm, 20C_1atm, 70F_1atm, 15C_1bar", "%.40q is not a reference condition", text)
	}
	return r, nil
}

// Kelvin is the reference temperature, 0 for an unknown name.
func (r Reference) Kelvin() float64 { return references[r].kelvin }

// Bar is the absolute reference pressure, 0 for an unknown name.
func (r Reference) Bar() float64 { return references[r].bar }

// Reduced gives the gauge pressure that the cylinder would show at another temperature, by the ideal gas. A
// temperature that is not above absolute zero leaves the reading as it is.
func Reduced(gaugeBar, fromKelvin, toKelvin, atmBar float64) float64 {
	if !(fromKelvin > 0 && toKelvin > 0) {
		return gaugeBar
	}
	return (gaugeBar+atmBar)*toKelvin/fromKelvin - atmBar
}

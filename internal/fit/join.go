package fit

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"spanroom/internal/problem"
)

// Cylinder is what a regulator is held against.
type Cylinder struct {
	Tag     string
	Outlet  Outlet
	FillBar float64 // nominal, at 21 °C
}

// Regulator is the regulator as it is assembled, an adapter that belongs to it included.
type Regulator struct {
	Code   string
	Inlet  Outlet
	MaxBar float64 // the rated inlet pressure
}

// CheckOutlet stops a regulator whose inlet is not the cylinder's outlet (rule R21). Nobody can override it, and no piece in between is proposed.
func CheckOutlet(c Cylinder, r Regulator) []problem.Finding {
	var text string
	switch {
	case !slices.Contains(outlets, c.Outlet):
		text = fmt.Sprintf("the outlet %q of cylinder %s is not on the list", c.Outlet, c.Tag)
	case !slices.Contains(outlets, r.Inlet):
		text = fmt.Sprintf("the inlet %q of regulator %s is not on the list", r.Inlet, r.Code)
	case c.Outlet != r.Inlet:
		text = fmt.Sprintf("cylinder %s has outlet %s, regulator %s takes %s", c.Tag, c.Outlet, r.Code, r.Inlet)
	default:
		return nil
	}
	return []problem.Finding{{
		Rule: "R21", Severity: problem.Stop, Subject: r.Code, Text: text,
		Advice: "take a regulator made for the cylinder's outlet and never force a thread; the gas supplier says which one",
	}}
}

// CheckRating stops a regulator whose rated inlet pressure, times margin (the site's factor, 1.01 by default), is below the fill (rule R22).
// Nobody can override it; a pressure that is not known is not enough.
func CheckRating(c Cylinder, r Regulator, margin float64) []problem.Finding {
	const rounding = 1e-9
	var text string
	switch allowed := r.MaxBar * margin; {
	case !(c.FillBar > 0):
		text = fmt.Sprintf("the fill pressure of cylinder %s is not known", c.Tag)
	case !(r.MaxBar > 0):
		text = fmt.Sprintf("the rated inlet pressure of regulator %s is not known", r.Code)
	case allowed >= c.FillBar*(1-rounding):
		return nil
	default:
		text = fmt.Sprintf("regulator %s is rated %s bar × %s = %s bar, cylinder %s is filled to %s bar",
			r.Code, figure(r.MaxBar), figure(margin), figure(allowed), c.Tag, figure(c.FillBar))
	}
	return []problem.Finding{{
		Rule: "R22", Severity: problem.Stop, Subject: r.Code, Text: text,
		Advice: "take a regulator that is rated for the fill pressure on the cylinder's label",
	}}
}

// figure writes a number with three places at the most.
func figure(f float64) string {
	return strconv.FormatFloat(math.Round(f*1000)/1000, 'f', -1, 64)
}

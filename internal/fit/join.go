package fit

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// slack is what a figure may be off by because it was worked out in binary.
const slack = 1e-9

// below tells whether a is less than b by more than slack. Nothing is known of a figure that is not a number, so it is below.
func below(a, b float64) bool { return !(a >= b*(1-slack)) }

// outletFaults stops a regulator that does not take the cylinder's outlet as it is assembled. No piece in between is proposed.
func outletFaults(b Bottle, r *Regulator) []fault {
	var text string
	switch {
	case !slices.Contains(outlets, b.Outlet):
		text = fmt.Sprintf("the outlet %q of %s is not on the list", b.Outlet, b.name())
	case !slices.Contains(outlets, r.Inlet):
		text = fmt.Sprintf("the inlet %q of %s is not on the list", r.Inlet, r.name())
	case b.Outlet == r.Inlet || r.adapted(b.Outlet):
		return nil
	default:
		text = fmt.Sprintf("%s has outlet %s, %s takes %s", b.name(), b.Outlet, r.name(), r.Inlet)
	}
	return []fault{{"outlet", problem.Finding{
		Rule: "R21", Severity: problem.Stop, Subject: r.subject(), Text: text,
		Advice: "take a regulator made for the cylinder's outlet and never force a thread; the gas supplier says which one",
	}}}
}

// The outlets between which an adapter may belong to a regulator. One thread serves almost every gas on both.
var adaptable = []Outlet{"CGA C-10", "CGA 600"}

// Adaptable lists them: an adapter between any others is home-made or unlisted.
func Adaptable() []Outlet { return slices.Clone(adaptable) }

// adapted tells whether the regulator's own adapter takes it to an outlet that it does not take itself.
func (r *Regulator) adapted(o Outlet) bool {
	a := r.Adapter
	return a != nil && a.From == o && a.To == r.Inlet && a.From != a.To && slices.Contains(adaptable, a.From) && slices.Contains(adaptable, a.To)
}

// ratingFaults stops a regulator, and the adapter that it needs, whose rated pressure times the site's margin is below the fill.
// A pressure that is not known is not enough.
func ratingFaults(b Bottle, r *Regulator, p Policy) []fault {
	if !(b.FillBar > 0) {
		return []fault{r.underrated(fmt.Sprintf("the fill pressure of %s is not known", b.name()))}
	}
	var found []fault
	bar := b.FillBar
	if r.Absolute {
		bar = b.hot(p)
	}
	if !p.covers(r.MaxBar, bar) {
		found = append(found, r.underrated(b.beyond(r.name(), r.MaxBar, bar, p)))
	} else if b.HotVehicle && !p.covers(r.MaxBar, b.hot(p)) {
		found = append(found, r.heated(b, p))
	}
	if r.adapted(b.Outlet) && !p.covers(r.Adapter.MaxBar, b.FillBar) {
		found = append(found, r.underrated(b.beyond("the adapter of "+r.name(), r.Adapter.MaxBar, b.FillBar, p)))
	}
	return found
}

// covers tells whether a rating with the site's margin is enough for a pressure.
func (p Policy) covers(rated, bar float64) bool {
	return rated > 0 && !below(rated*p.RatingMargin, bar)
}

// beyond says why a rating does not cover the pressure of a cylinder.
func (b Bottle) beyond(name string, rated, bar float64, p Policy) string {
	if !(rated > 0) {
		return fmt.Sprintf("the rated inlet pressure of %s is not known", name)
	}
	text := fmt.Sprintf("%s is rated %s bar × %s = %s bar, %s is filled to %s bar",
		name, figure(rated), figure(p.RatingMargin), figure(rated*p.RatingMargin), b.name(), figure(b.FillBar))
	if bar != b.FillBar {
		text += fmt.Sprintf(", which become %s bar in heat, and the rating is an absolute maximum", figure(bar))
	}
	return text
}

func (r *Regulator) underrated(text string) fault {
	return fault{"pressure_rating", problem.Finding{
		Rule: "R22", Severity: problem.Stop, Subject: r.subject(), Text: text,
		Advice: "take a regulator that is rated for the fill pressure on the cylinder's label",
	}}
}

func (r *Regulator) heated(b Bottle, p Policy) fault {
	return fault{"", problem.Finding{
		Rule: "R22", Severity: problem.Note, Subject: r.subject(),
		Text:   fmt.Sprintf("the %s bar of %s become %s bar in a hot vehicle, %s is rated %s bar", figure(b.FillBar), b.name(), figure(b.hot(p)), r.name(), figure(r.MaxBar)),
		Advice: "take the regulator off before the cylinder travels, and keep it out of the heat",
	}}
}

// hot is the gauge pressure at the site's hottest.
func (b Bottle) hot(p Policy) float64 {
	return max(p.HotFactor, 1)*(b.FillBar+unit.StandardAtmosphere) - unit.StandardAtmosphere
}

// figure writes a number with three places at the most.
func figure(f float64) string {
	return strconv.FormatFloat(math.Round(f*1000)/1000, 'f', -1, 64)
}

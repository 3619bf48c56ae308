package views

import (
	"fmt"
	"math"
	"strings"
)

// gasBar is the bar of usable litres: below minimum pressure hatched, the certain part full, the uncertain part pale, and a
// notch at the low end.
type gasBar struct {
	Usable    any     // litres; nothing where they are not known
	Low       float64 // the low end of the interval
	Heel      float64 // litres left below minimum pressure
	Full      float64 // litres of a full cylinder, heel included
	Left      []string
	Reference string // condition at which the litres are counted
}

// The picture's own measures; it scales to its place.
const (
	gasWidth  = 400.0
	gasHeight = 28.0
	gasEdge   = 2.0 // line of the frame
	gasHatch  = 8.0 // between two lines of the hatching
)

func newGasBar(pairs ...any) (*gasBar, error) {
	g := &gasBar{}
	if err := fill(g, pairs); err != nil {
		return nil, err
	}
	usable, _ := number(g.Usable)
	g.Low = min(max(g.Low, 0), max(usable, 0))
	g.Heel = max(g.Heel, 0)
	return g, nil
}

// Known tells whether there is anything to draw.
func (g *gasBar) Known() bool {
	_, ok := number(g.Usable)
	return ok
}

func (g *gasBar) usable() float64 {
	n, _ := number(g.Usable)
	return max(n, 0)
}

// x is where so many litres from the empty end lie in the picture.
func (g *gasBar) x(litres float64) float64 {
	whole := max(g.Full, g.Heel+g.usable())
	if whole <= 0 {
		return gasEdge
	}
	return tenth(gasEdge + (gasWidth-2*gasEdge)*litres/whole)
}

// HeelEnd is where the hatched part ends and the usable one begins.
func (g *gasBar) HeelEnd() float64 { return g.x(g.Heel) }

// CertainWidth is how wide the part is that is there in any case.
func (g *gasBar) CertainWidth() float64 { return tenth(g.LowEnd() - g.HeelEnd()) }

// LowEnd is where the notch stands.
func (g *gasBar) LowEnd() float64 { return g.x(g.Heel + g.Low) }

// UncertainWidth is how wide the part is between the low end and what is expected.
func (g *gasBar) UncertainWidth() float64 { return tenth(g.x(g.Heel+g.usable()) - g.LowEnd()) }

// Hatch is the path of the lines over the heel, each cut to it; drawn so, it needs no pattern with an id of its own.
func (g *gasBar) Hatch() string {
	var path strings.Builder
	left, right, top, bottom := gasEdge, g.HeelEnd(), gasEdge, gasHeight-gasEdge
	rise := bottom - top
	for foot := left - rise + gasHatch/2; foot < right; foot += gasHatch { // from (foot, bottom) up to (foot+rise, top)
		from, to := max(foot, left), min(foot+rise, right)
		if to > from {
			fmt.Fprintf(&path, "M%g %gL%g %g", tenth(from), tenth(bottom-(from-foot)), tenth(to), tenth(bottom-(to-foot)))
		}
	}
	return path.String()
}

// Notch is the path of the mark at the low end.
func (g *gasBar) Notch() string {
	at := g.LowEnd()
	return fmt.Sprintf("M%g %gL%g %gL%g %gZ", tenth(at-6), 0.0, tenth(at+6), 0.0, at, 10.0)
}

// Short is what stands beneath the picture: the litres that can be used.
func (g *gasBar) Short() string {
	if !g.Known() {
		return "usable litres are not known"
	}
	return fmt.Sprintf("%s usable, at least %s", litres(g.usable()), litres(g.Low))
}

// Sentence says the same as the picture.
func (g *gasBar) Sentence() string {
	s := g.Short()
	if !g.Known() {
		return s
	}
	if g.Full > 0 {
		s += ", of " + litres(g.Full) + " when full"
	}
	if g.Heel > 0 {
		s += "; " + litres(g.Heel) + " left below minimum pressure"
	}
	if g.Reference != "" {
		s += " (litres at " + word(g.Reference) + ")"
	}
	return s
}

func tenth(n float64) float64 { return math.Round(n*10) / 10 }

package catalogue

import (
	"slices"

	"spanroom/internal/fit"
	"spanroom/internal/unit"
)

// Adapter is a supplier-made piece that belongs to a regulator: it takes the outlet From of a cylinder and ends in To, which is
// the regulator's own inlet. Its rating counts beside the regulator's.
type Adapter struct {
	From        string     `json:"from"`
	To          string     `json:"to"`
	MaxPressure unit.Typed `json:"max_pressure"`
}

// adapted are the outlets between which suppliers make adapters (R21).
var adapted = outletNames(fit.Adaptable())

// check keeps the outlets as the list has them. inlet is the regulator's own, "" where it is not known.
func (a *Adapter) check(c *checker, inlet string) {
	before := len(c.wrong)
	a.From = adaptedOutlet(c, "adapter.from", a.From)
	a.To = adaptedOutlet(c, "adapter.to", a.To)
	needed(c, "adapter.max_pressure", &a.MaxPressure, unit.ParsePressure)
	switch {
	case len(c.wrong) > before:
	case a.From == a.To:
		c.wrong.Add("adapter.to", "the adapter has the same outlet on both ends", "give what it takes and what it ends in, or leave the adapter out")
	case inlet != "" && a.To != inlet:
		c.wrong.Add("adapter.to", "the adapter ends in "+a.To+" and the regulator takes "+inlet, "the end of the adapter is the regulator's own inlet: correct one of them")
	}
}

func adaptedOutlet(c *checker, field, text string) string {
	listed := c.outlet(field, &text)
	if listed != "" && !slices.Contains(adapted, listed) {
		c.wrong.Add(field, "there is no supplier-made adapter for "+listed, "only those between "+adapted[0]+" and "+adapted[1]+" count; take a regulator made for the cylinder's outlet")
	}
	if listed == "" {
		return text
	}
	return listed
}

package stock

import (
	"context"
	"fmt"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/store"
)

// FleetAnswer tells how many instruments the certified values of a lot suit, by what they are set to (R5h).
type FleetAnswer struct {
	Instruments int      `json:"instruments"` // that measure any of its components
	Meets       int      `json:"meets"`
	Refused     int      `json:"refused"`
	Unknown     int      `json:"unknown"` // set value, basis or factor are not entered
	Words       string   `json:"words"`
	Why         []string `json:"why"`
}

func (in intake) loadFleet(ctx context.Context, k *known, _ delivery) (err error) {
	k.fleet, err = catalogue.Fleet(ctx, in.tx, in.today, in.settings)
	return err
}

// meets notes the instruments that gas in order would be refused on: it fits the order and not what they are set to.
func (k known) meets(c cylinder) []problem.Finding {
	var found []problem.Finding
	for _, why := range fit.Fleet(c.gas(), k.fleet, catalogue.FitPolicy(k.settings)).Why {
		found = append(found, problem.Finding{
			Rule: "R5h", Severity: problem.Note, Subject: "lot " + c.lot.Lot.Lot, Text: "it may be as ordered, but " + why,
			Advice: "accept it for other uses, set those instruments to it where the manual allows, or claim it from the supplier",
		})
	}
	return found
}

// fleetOf compares a lot with the instruments as they are set now.
func fleetOf(ctx context.Context, s *store.Store, v *view, c cylinder) (*FleetAnswer, error) {
	fleet, err := catalogue.Fleet(ctx, s, v.today, v.settings)
	if err != nil {
		return nil, err
	}
	f := fit.Fleet(c.gas(), fleet, v.policy)
	a := &FleetAnswer{Instruments: f.Meets + f.Refused + f.Unknown, Meets: f.Meets, Refused: f.Refused, Unknown: f.Unknown, Why: append([]string{}, f.Why...)}
	a.Words = fleetWords(*a)
	return a, nil
}

func fleetWords(a FleetAnswer) string {
	switch {
	case a.Instruments == 0:
		return "no instrument of the site measures any of this gas"
	case a.Meets == a.Instruments:
		return fmt.Sprintf("meets the set values of all %d instruments that measure it", a.Instruments)
	}
	words := fmt.Sprintf("meets the set values of %d of %d instruments that measure it", a.Meets, a.Instruments)
	if a.Unknown > 0 {
		words += fmt.Sprintf("; of %d they are not known", a.Unknown)
	}
	return words
}

package stock

import (
	"fmt"
	"strings"

	"spanroom/internal/problem"
	"spanroom/models"
)

// room asks where a delivery would put more cylinders at a place than the site allows, and offers places with room (R42).
func (k known) room(d delivery) []problem.Finding {
	return placeLimit(d.place, int64(len(d.cylinders)), k.places, k.stands)
}

const mostOffered = 3

// placeLimit asks where a place would hold more cylinders than its limit. stands counts what is at each place by its id.
func placeLimit(at models.Place, more int64, places []models.Place, stands map[int64]int64) []problem.Finding {
	if !overLimit(at, stands[at.ID]+more) {
		return nil
	}
	var free []string
	for _, alike := range []bool{true, false} {
		for _, p := range places {
			if p.ID != at.ID && (p.Kind == at.Kind) == alike && !overLimit(p, stands[p.ID]+more) && len(free) < mostOffered {
				free = append(free, p.Code)
			}
		}
	}
	advice := "no other place has room for all of them; split them, or say who allowed it"
	if len(free) > 0 {
		advice = "there is room at " + strings.Join(free, ", ") + ", or say who allowed it"
	}
	return []problem.Finding{{
		Rule: "R42", Severity: problem.Ask, Subject: at.Code,
		Text:   fmt.Sprintf("%d stand there, and %d more are above its limit of %d", stands[at.ID], more, *at.MaxCylinders),
		Advice: advice,
	}}
}

func overLimit(p models.Place, cylinders int64) bool {
	return p.MaxCylinders != nil && cylinders > *p.MaxCylinders
}

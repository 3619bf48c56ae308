package catalogue

import (
	"time"

	"spanroom/internal/unit"
)

// Service is the statement that a piece of equipment was checked, cleaned, replaced or released by the site's procedure. From
// then on its last gas is the one that its entry states, and its uses count anew; no other change forgets what check-outs say.
// Serviced is said in an order and not kept. The instant is kept from version to version; a piece from before such statements
// has none, and all of its check-outs count.
type Service struct {
	Serviced   bool   `json:"serviced,omitempty"`
	ServicedAt string `json:"serviced_at,omitempty"`
}

// since gives the instant from which check-outs of a piece count: now where it is new, stated to be serviced, or stated to have
// another last gas than before. Only a service makes a last gas unknown.
func (s *Service) since(c *checker, lastGas string) unit.Instant {
	var had struct {
		LastGas    string     `json:"last_gas"`
		ServicedAt *time.Time `json:"serviced_at"`
	}
	at := c.now
	if c.before != "" {
		if err := decode("piece of equipment", c.before, &had); err != nil {
			c.broken = err
		}
		switch {
		case s.Serviced:
		case lastGas == had.LastGas:
			at = instantOf(had.ServicedAt)
		case lastGas == "":
			c.wrong.Add("last_gas", had.LastGas+" was its last gas and is left out", "keep it, or state that it was serviced")
		}
	}
	s.Serviced, s.ServicedAt = false, at.String()
	return at
}

func instantOf(moment *time.Time) unit.Instant {
	if moment == nil {
		return 0
	}
	return unit.InstantOf(*moment)
}

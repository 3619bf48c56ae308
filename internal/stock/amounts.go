package stock

import (
	"spanroom/models"
)

// AmountAnswer is one component as the cylinder's label must read: the certified value, else the nominal one of the label.
type AmountAnswer struct {
	Component      string   `json:"component"`
	Name           string   `json:"name"`
	Words          string   `json:"words"`  // "H2S 24.6 ppm"
	Source         string   `json:"source"` // certificate, label, balance
	AmountPPM      float64  `json:"amount_ppm"`
	UncertaintyPPM *float64 `json:"uncertainty_ppm"`
}

// amounts lists what is in the cylinder, the balance last.
func (c cylinder) amounts() []AmountAnswer {
	amounts := make([]AmountAnswer, 0, len(c.lot.parts))
	for _, p := range c.lot.parts {
		a := AmountAnswer{Component: p.Code, Name: p.Name, Source: "label", AmountPPM: p.Amount.PPM(), Words: p.Code + " " + inUnitOf(p.Amount, p.Amount)}
		if p.Balance {
			a.Source, a.Words = "balance", "balance "+p.Code
		}
		if v := c.paper.value(p.ComponentID); v != nil {
			uncertainty := v.Uncertainty.PPM()
			a.Source, a.AmountPPM, a.UncertaintyPPM, a.Words = "certificate", v.Amount.PPM(), &uncertainty, p.Code+" "+inUnitOf(v.Amount, v.Amount)
			if v.Typed != "" {
				a.Words = p.Code + " " + v.Typed
			}
		}
		amounts = append(amounts, a)
	}
	return amounts
}

// value gives what the document certifies of a component, or nil.
func (c *certificate) value(componentID int64) *models.CertificateValue {
	if c == nil {
		return nil
	}
	for i := range c.values {
		if c.values[i].ComponentID == componentID {
			return &c.values[i].CertificateValue
		}
	}
	return nil
}

package purchase

import (
	"spanroom/internal/catalogue"
	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/models"
)

// mixture is a blend with what turns its pressure into litres.
type mixture struct {
	parts []store.BlendComponent
	words []string // "H2S 25 ppm", the balance last
	gas   *gas.Mixture
	err   error
}

func newMixture(b catalogue.Blend, parts []store.BlendComponent) mixture {
	m := mixture{parts: parts}
	for _, p := range b.Components {
		m.words = append(m.words, p.Component+" "+string(p.Amount))
	}
	if b.Balance != "" {
		m.words = append(m.words, "balance "+b.Balance)
	}
	m.gas, m.err = gas.NewMixture(catalogue.MixOf(parts))
	return m
}

// filledKelvin is 21 °C, at which fill pressures are stated.
const filledKelvin = 294.15

// fullLitres is what a full cylinder of an item gives above its cut-off. The plan reckons with the cut-off of calibrations,
// the higher one: gas that only bumps can still use is a reserve.
func (k *known) fullLitres(item models.Item) (float64, error) {
	return k.usable(item, item.FillPressure.Bar(), filledKelvin)
}

func (k *known) usable(item models.Item, bar, kelvin float64) (float64, error) {
	if item.BlendID == nil {
		return 0, nil
	}
	m := k.mixtures[*item.BlendID]
	if m.err != nil {
		return 0, m.err
	}
	cutoff, _ := k.settings.CutoffOf(item, m.parts, true)
	u, err := gas.Reading{
		Content: gas.Content{
			Mixture: m.gas, WaterL: item.WaterVolume.Litres(), GaugeBar: bar, Kelvin: kelvin,
			AtmBar: k.settings.AtmosphereBar, Ref: gas.Reference(k.settings.Reference),
		},
		HeelBar: cutoff,
	}.Usable()
	return u.Litres, err
}

// full is fullLitres with a finding in place of the error: without it litres cannot be turned into cylinders.
func (k *known) full(item models.Item) (float64, []problem.Finding) {
	litres, err := k.fullLitres(item)
	if err == nil && (litres > 0 || item.BlendID == nil) {
		return litres, nil
	}
	text := "a full cylinder holds nothing above its cut-off"
	if err != nil {
		text = err.Error()
	}
	return 0, []problem.Finding{{
		Rule: "R10", Severity: problem.Note, Subject: item.Code,
		Text:   "its litres cannot be worked out, so no use is planned: " + text,
		Advice: "check water volume, fill pressure and cut-off of the item",
	}}
}

// share is how much of a full cylinder an opened one still is. One that nobody has read counts as empty.
func (k *known) share(c models.Cylinder, item models.Item, full float64) float64 {
	if full == 0 || c.PressureSource == "unknown" {
		return 0
	}
	kelvin := c.Temperature.Kelvin()
	if kelvin == 0 {
		kelvin = filledKelvin
	}
	litres, err := k.usable(item, c.Pressure.Bar(), kelvin)
	if err != nil {
		return 0
	}
	return min(1, litres/full)
}

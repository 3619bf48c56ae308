package stock

import (
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// delivering is what the rules of goods in rest on, without a store: today is 3 March 2027.
type delivering struct {
	order ReceiveOrder
	names receivedNames
	known known
}

func part(id int64, formula, amount string) store.BlendComponent {
	a, err := unit.ParseAmount(amount)
	if err != nil {
		panic(err)
	}
	return store.BlendComponent{ComponentID: id, Code: formula, Name: formula, Formula: formula, Amount: a}
}

var (
	fourGas  = []store.BlendComponent{part(1, "CH4", "2.5 %vol"), part(2, "O2", "18 %vol"), part(3, "CO", "100 ppm"), adsorbs(part(4, "H2S", "25 ppm"))}
	nitrogen = store.BlendComponent{ComponentID: 9, Code: "N2", Name: "nitrogen", Formula: "N2", Balance: true}
)

func adsorbs(p store.BlendComponent) store.BlendComponent {
	p.Adsorbs = true
	return p
}

// delivery8 is eight cylinders of Q4 as they should come: nothing stands against them but notes.
func delivery8() *delivering {
	m := moment{at: unit.Instant(1_804_060_800_000), today: "2027-03-03", settings: catalogue.DefaultSettings()}
	parts := append(append([]store.BlendComponent{}, fourGas...), nitrogen)
	q4 := models.Item{ID: 1, Code: "Q4", Kind: catalogue.Gas, CountedIn: catalogue.InCylinders, BlendID: new(int64(4)), Outlet: "CGA C-10",
		WaterVolume: unit.VolumeLitres(1), FillPressure: unit.PressureBar(69)}
	components := map[string]store.Named{}
	for _, p := range append(parts, part(5, "Cl2", "10 ppm")) {
		components[unit.Fold(p.Code)] = store.Named{ID: p.ComponentID, Code: p.Code, Name: p.Name}
	}
	cage := models.Place{ID: 1, Code: "CAGE", Kind: "cage"}
	return &delivering{
		order: ReceiveOrder{
			Supplier: "northbank", Item: "Q4", Lot: "7K-2206", Counted: 8, FilledOn: "2026-10-01", LabelExpiresOn: "2027-10-01", Place: "CAGE",
			Certificate: &CertificateOrder{Number: "C-881", IssuedOn: "2026-10-05", ExpiresOn: "2027-10-01", Values: []ValueOrder{
				{"CH4", "2.52 %vol", "0.05 %vol"}, {"O2", "18.1 %vol", "0.2 %vol"}, {"CO", "99 ppm", "2 ppm"}, {"H2S", "24.6 ppm", "2 %rel"},
			}},
		},
		names: receivedNames{supplier: models.Supplier{ID: 1, Code: "northbank", Name: "Northbank Gases"}, item: q4, place: cage, parts: parts, components: components},
		known: known{
			moment: m, parts: parts, blends: map[int64]string{4: "Q4", 5: "CL"}, source: &store.SourceOf{Source: models.Source{MinimumLifeDays: 180}},
			serials: map[string][]models.Cylinder{}, places: []models.Place{cage, {ID: 2, Code: "SHELF-A", Kind: "shelf"}, {ID: 3, Code: "YARD", Kind: "cage"}},
			stands: map[int64]int64{},
		},
	}
}

// oneGas turns the delivery into one of a blend with a single component.
func (d *delivering) oneGas(code, formula, amount string, capMonths, fallbackMonths *int64) {
	p := adsorbs(part(5, formula, amount))
	p.CapMonths, p.FallbackMonths = capMonths, fallbackMonths
	d.names.parts = []store.BlendComponent{p, nitrogen}
	d.known.parts = d.names.parts
	d.names.item.Code, d.names.item.BlendID, d.order.Item = code, new(int64(5)), code
	d.order.Certificate.Values = []ValueOrder{{formula, unit.Typed(amount), "0.2 ppm"}}
}

func (d *delivering) decide(t *testing.T) plan {
	t.Helper()
	read, err := readDelivery(d.known.moment, d.names, d.order)
	if err != nil {
		t.Fatal(err)
	}
	return d.known.decide(read)
}

// told gives what a severity says, a line a finding.
func told(p plan, s problem.Severity) string {
	var lines []string
	for _, f := range p.findings {
		if f.Severity == s {
			lines = append(lines, f.Rule+" "+f.Subject+": "+f.Text+" → "+f.Advice)
		}
	}
	return strings.Join(lines, "\n")
}

// holdsOf gives the reasons of a plan's holds: those on the lot, then those of each cylinder.
func holdsOf(p plan) string {
	var all []string
	for _, h := range p.holds {
		all = append(all, "lot: "+h.reason)
	}
	for i, c := range p.cylinders {
		for _, h := range c.holds {
			all = append(all, c.name(i)+": "+h.reason)
		}
	}
	return strings.Join(all, "; ")
}

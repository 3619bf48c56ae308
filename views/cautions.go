package views

import "fmt"

// Caution is one of the tool's short warnings. A loud one stands alone and large; Detail is what the site or the cylinder
// adds to it.
type Caution struct {
	Number int
	Text   string
	Detail string
	Loud   bool
}

// cautionTexts are the cautions by number. 1 stands at the foot of every page; 21 and 22 belong to the calculators.
var cautionTexts = map[int]string{
	1:  "This tool keeps records and estimates; it does not certify gas, instruments or atmospheres.",
	2:  "Read the cylinder's own label before connecting. If label and screen differ, stop and hold.",
	3:  "Calibration mixtures can be toxic, asphyxiating, oxidising, flammable or under high pressure: ventilated place; exhaust led away by a short, open hose, never throttled.",
	4:  "Never force, never improvise an adapter. Small non-refillable cylinders share one outlet: a regulator that fits may still be wrong for this gas.",
	5:  "Use only regulator, tubing and fittings suited to this gas. Keep oil and grease away where oxygen-rich gas is used.",
	6:  "Secure cylinders; dust cap on; below 50 °C; do not leave in a hot vehicle.",
	7:  "Self-sealing outlet: regulator off before screwing on; take it off after use. Valved: open slowly, close, vent where ventilated.",
	8:  "Suspected leak: leave first, warn others, keep out, call. Ventilate only from outside.",
	9:  "Tests left is an estimate; carry a reserve.",
	10: "Expired gas is not for calibration. Weak gas makes monitors over-read, too strong makes them under-read. A passed bump with doubtful gas is no proof.",
	11: "Do not refill non-refillable cylinders. Do not vent or puncture on the tool's word: site procedure, safety data sheet, trained person.",
	12: "Storage limits and distances here are your site's settings; check with your local authority and fire code.",
	13: "Transport in vehicles has its own rules: ask your dangerous-goods adviser.",
	14: "Monitors listed under a recall: treat as untested until proven otherwise.",
	15: "Emergency numbers of the site:",
	16: "Calibrate in clean air: no exhaust, solvent, silicone spray or hand gel near.",
	17: "Nitrogen-balance gas displaces oxygen: not in closed vans or pits.",
	18: "Alarms will sound: warn people and the control room.",
	19: "Failed monitor: tag it and take it out of use now.",
	20: "No thread tape or lubricant on the connection.",
	21: "Basis and factor from the manual.",
	22: "The supplier's date wins.",
}

// detailLeads introduce what is added to a caution.
var detailLeads = map[int]string{2: "It must read: "}

// loudCaution stands large and alone: where gas may be leaking nothing else matters.
const loudCaution = 8

// Cautions gives the cautions of these numbers; one that does not exist is left out.
func Cautions(numbers ...int) []Caution {
	var all []Caution
	for _, n := range numbers {
		if t, ok := cautionTexts[n]; ok {
			all = append(all, Caution{Number: n, Text: t, Loud: n == loudCaution})
		}
	}
	return all
}

// caution is for templates: one caution with what the site or the cylinder adds to it.
func caution(number int, detail any) (Caution, error) {
	found := Cautions(number)
	if len(found) == 0 {
		return Caution{}, fmt.Errorf("there is no caution %d", number)
	}
	if added := text(detail); added != "" {
		found[0].Detail = detailLeads[number] + added
	}
	return found[0], nil
}

// cautions is for templates: cautions 2 4 5, with (caution 2 .Values) or a list of cautions where a number stands.
func cautions(these ...any) ([]Caution, error) {
	var all []Caution
	for _, one := range these {
		switch c := one.(type) {
		case int:
			made, err := caution(c, "")
			if err != nil {
				return nil, err
			}
			all = append(all, made)
		case Caution:
			all = append(all, c)
		case []Caution:
			all = append(all, c...)
		default:
			return nil, fmt.Errorf("%v is no caution", one)
		}
	}
	return all, nil
}

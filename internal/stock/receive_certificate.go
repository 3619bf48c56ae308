package stock

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

const wholeGas unit.Amount = 1_000_000_000

// judge holds a document against the blend: what is surely typed wrong stops, what the document itself leaves in doubt
// becomes a hold (R5c, R5d).
func (k known) judge(p *paper) (found []problem.Finding, holds []plannedHold) {
	if p == nil {
		return nil, []plannedHold{{"R5c", CertificateMissing, "there is no certificate: bump tests on label values, no calibration"}}
	}
	found = append(found, k.sum(p)...)
	var doubts []string
	for _, part := range k.ordered() {
		slip, doubt := k.value(p, part)
		found = append(found, slip...)
		doubts = append(doubts, doubt...)
	}
	for _, v := range p.values {
		if !k.mayName(v.ID, v.Code) {
			doubts = append(doubts, fmt.Sprintf("it names %s, which the blend does not have", v.Code))
		}
	}
	if len(doubts) > 0 {
		holds = append(holds, plannedHold{"R5c", DoubtfulGas, strings.Join(doubts, "; ")})
	}
	return found, holds
}

// ordered are the components that the blend names with an amount.
func (k known) ordered() []store.BlendComponent {
	return slices.DeleteFunc(slices.Clone(k.parts), func(p store.BlendComponent) bool { return p.Balance })
}

// mayName tells whether a certificate of this blend may speak of a component; balance air may be given by its parts.
func (k known) mayName(id int64, code string) bool {
	for _, part := range k.parts {
		if part.ComponentID == id || part.Balance && part.Formula == "air" && slices.Contains([]string{"N2", "O2", "Ar"}, code) {
			return true
		}
	}
	return false
}

// value compares the certified amount of one component with the nominal one.
func (k known) value(p *paper, part store.BlendComponent) (slip []problem.Finding, doubts []string) {
	at := slices.IndexFunc(p.values, func(v certified) bool { return v.ID == part.ComponentID })
	switch {
	case at < 0 && p.Kind == Conformity:
		return nil, nil // nominal, with its tolerance as uncertainty
	case at < 0:
		return nil, []string{"it has no value for " + part.Code}
	}
	v := p.values[at]
	tolerance := k.settings.MakingTolerance(part)
	off := v.amount - part.Amount
	if off < 0 {
		off = -off
	}
	if off <= tolerance {
		return vague(v), nil
	}
	if f := otherUnit(part, v, tolerance); f != nil {
		return []problem.Finding{*f}, nil
	}
	return nil, []string{fmt.Sprintf("%s %s is %s off the nominal %s, more than the making tolerance of %s",
		part.Code, v.typed, inUnitOf(off, part.Amount), inUnitOf(part.Amount, part.Amount), inUnitOf(tolerance, part.Amount))}
}

// vague stops an uncertainty that is more than the value itself: its unit is another one.
func vague(v certified) []problem.Finding {
	if v.uncertainty <= v.amount {
		return nil
	}
	return []problem.Finding{{
		Rule: "R5c", Severity: problem.Stop, Subject: v.Code,
		Text:   fmt.Sprintf("the uncertainty of %s is more than the value of %s itself", inUnitOf(v.uncertainty, v.uncertainty), v.typed),
		Advice: `check its unit; a share of the value is written "2 %rel"`,
	}}
}

// otherUnit stops an amount that would be right in another unit.
func otherUnit(part store.BlendComponent, v certified, tolerance unit.Amount) *problem.Finding {
	for _, name := range []string{"ppm", "%vol", "ppb"} {
		text := figureOf(string(v.typed)) + " " + name
		meant, err := unit.ParseAmount(text)
		if err != nil || math.Abs(float64(meant-part.Amount)) > float64(tolerance) {
			continue
		}
		ratio := float64(v.amount) / float64(meant)
		if ratio < 1 {
			ratio = 1 / ratio
		}
		return &problem.Finding{
			Rule: "R5c", Severity: problem.Stop, Subject: part.Code,
			Text:   fmt.Sprintf("%s stands where %s is ordered: a factor of %s, which looks like the wrong unit", v.typed, inUnitOf(part.Amount, part.Amount), thousands(ratio)),
			Advice: text + "?",
		}
	}
	return nil
}

// sum holds all values together against the whole (R5d). A balance without a figure is the remainder.
func (k known) sum(p *paper) []problem.Finding {
	var total unit.Amount
	balance := false
	for _, v := range p.values {
		total += v.amount
		balance = balance || slices.ContainsFunc(k.parts, func(part store.BlendComponent) bool { return part.Balance && part.ComponentID == v.ID })
	}
	limit := unit.Amount(k.settings.SumLimitVolPct * 1e7)
	f := problem.Finding{Rule: "R5d", Severity: problem.Stop, Subject: "certificate", Advice: "check each amount and its unit"}
	percent := fmt.Sprintf("%.6g %%vol", total.Fraction()*100)
	switch {
	case balance && total > wholeGas+limit, !balance && total > wholeGas:
		f.Text = "the values make " + percent + " together, more than the whole"
	case balance && total < wholeGas-limit:
		f.Severity, f.Text = problem.Ask, fmt.Sprintf("the values and the balance make %s together, not 100 %%vol within %g %%vol", percent, k.settings.SumLimitVolPct)
		f.Advice = "compare each value with the certificate, or say what else it names"
	default:
		return nil
	}
	return []problem.Finding{f}
}

// nominal fills in what a certificate of conformity leaves to the blend: its amounts, with the making tolerance as uncertainty.
func (k known) nominal(p *paper) []certified {
	values := slices.Clone(p.values)
	if p.Kind != Conformity {
		return values
	}
	for _, part := range k.ordered() {
		if slices.ContainsFunc(values, func(v certified) bool { return v.ID == part.ComponentID }) {
			continue
		}
		values = append(values, certified{
			Named:  store.Named{ID: part.ComponentID, Code: part.Code, Name: part.Name},
			amount: part.Amount, uncertainty: k.settings.MakingTolerance(part), typed: inUnitOf(part.Amount, part.Amount),
		})
	}
	return values
}

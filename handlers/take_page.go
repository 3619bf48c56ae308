package handlers

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/stock"
)

// takePage is the form of the Take screen: what is wanted, and with it the one pick and what else would do.
type takePage struct {
	Order  stock.CheckOutOrder
	Found  *stock.Recommendation // nil until something is wanted
	Chosen *stock.Pick           // the pick, or the one in the hand
	Items  []catalogue.Choice
	setChoices
	Purposes []string
	People   bool // the person may hand it to somebody else

	fields  map[string]string // that were sent, by the form or by the address
	refused []problem.Finding // why it was not taken
}

// TypedFields is what stays as it was typed. Of an address that led to a pick those are the reasons and what else belongs to
// taking it: the set stands there as it was understood.
func (p takePage) TypedFields() map[string]string {
	if p.Found == nil || p.fields["csrf"] != "" {
		return p.fields
	}
	kept := map[string]string{}
	for name, value := range p.fields {
		if strings.HasPrefix(name, "reasons.") || name == "holder" || name == "set_to_certified" {
			kept[name] = value
		}
	}
	return kept
}

// hidden is a field that goes from what was asked to what is taken.
type hidden struct{ Name, Value string }

// Wanted repeats what was asked for as it was understood, so that what is taken is what was shown. A round, or instruments
// with their purpose, are named as they were, for the tests follow from them.
func (p takePage) Wanted() []hidden {
	n, o := p.Found.Need, p.Order
	fields := []hidden{{"from", string(n.From)}, {"until", string(n.Until)}, {"place", n.Place}, {"item", n.Item}, {"proves", o.Proves}}
	if n.Item == "" {
		fields = append(fields, hidden{"blend", n.Blend})
	}
	switch {
	case len(n.Tests) > 0 && len(o.Tests) == 0 && len(o.Instruments) > 0:
		fields = append(fields, hidden{"purpose", string(o.Purpose)}, hidden{"instruments", strings.Join(o.Instruments, "\n")})
	case len(n.Tests) > 0 && len(o.Tests) == 0:
		fields = append(fields, hidden{"purpose", string(o.Purpose)}, hidden{"round", o.Round})
	default:
		fields = append(fields, hidden{"purpose", string(n.Purpose)}, hidden{"round", o.Round}, hidden{"instruments", strings.Join(o.Instruments, "\n")})
		for i, t := range n.Tests {
			fields = append(fields, hidden{fmt.Sprintf("tests.%d.procedure", i), t.Procedure}, hidden{fmt.Sprintf("tests.%d.count", i), fmt.Sprint(t.Count)})
		}
	}
	return withValue(fields)
}

// Beside is what is said of the gas as a whole. That none may be taken is no matter beside one that is chosen: its own findings tell.
func (p takePage) Beside() []problem.Finding {
	return slices.DeleteFunc(slices.Clone(p.Found.Findings), func(f problem.Finding) bool { return f.Rule == "R15" && f.Severity == problem.Stop })
}

// Others are the picks that were not chosen.
func (p takePage) Others() []stock.Pick {
	if p.Found.Pick == nil {
		return nil
	}
	return slices.DeleteFunc(append([]stock.Pick{*p.Found.Pick}, p.Found.Alternatives...), func(other stock.Pick) bool {
		return p.Chosen != nil && other.Tag == p.Chosen.Tag
	})
}

// Stopped says how many cylinders each rule stops.
func (p takePage) Stopped() []string {
	var words []string
	for _, rule := range slices.Sorted(maps.Keys(p.Found.PassedOverCount)) {
		words = append(words, stock.StoppedWords(rule, p.Found.PassedOverCount[rule]))
	}
	return words
}

// Rows are the lines of tests that the form shows: those that were asked for, and an empty one.
func (p takePage) Rows() []stock.TestOrder { return testRows(p.Order) }

func testRows(o stock.CheckOutOrder) []stock.TestOrder {
	return append(slices.Clone(o.Tests), make([]stock.TestOrder, max(1, 2-len(o.Tests)))...)
}

// Serials are the instruments that were named, one a line.
func (p takePage) Serials() string { return strings.Join(p.Order.Instruments, "\n") }

// Counts says how many tests are left in the chosen cylinder.
func (p takePage) Counts() []string { return countsOf(p.Chosen) }

func countsOf(p *stock.Pick) []string {
	var words []string
	for _, left := range p.TestsLeft {
		words = append(words, left.Words)
	}
	return words
}

// NitrogenBalance tells whether the gas displaces oxygen.
func (p takePage) NitrogenBalance() bool { return p.Chosen != nil && p.Chosen.Balance == "N2" }

// Shown is what the rules say of the chosen cylinder: what it was refused for, else what would be said.
func (p takePage) Shown() []problem.Finding {
	if len(p.refused) > 0 {
		return p.refused
	}
	return p.Chosen.Findings
}

// Compared says with which instruments the cylinder is compared, unless a finding says that it is not.
func (p takePage) Compared() string { return comparedWith(p.Chosen, p.Shown()) }

func comparedWith(p *stock.Pick, found []problem.Finding) string {
	if slices.ContainsFunc(found, func(f problem.Finding) bool { return f.Rule == "R28" }) {
		return ""
	}
	return p.Compared
}

// Barred tells whether a rule stands in the way, so that there is nothing to take.
func (p takePage) Barred() bool { return p.Chosen != nil && problem.Worst(p.Shown()) == problem.Stop }

// aboutSet are the rules that another regulator, tubing or cap may satisfy, aboutValues those that other set values may.
var (
	aboutSet    = []string{"R21", "R22", "R23", "R24", "R24b", "R25"}
	aboutValues = []string{"R17", "R19"}
)

// SetAtFault tells whether something is found that another set may satisfy.
func (p takePage) SetAtFault() bool { return barredBy(p.Shown(), aboutSet) }

// OfValues tells whether something is found that other set values may satisfy.
func (p takePage) OfValues(found []problem.Finding) bool { return barredBy(found, aboutValues) }

// Nearest is the first cylinder passed over that nothing but the set values of the instruments stands against, or nil.
func (p takePage) Nearest() *stock.PassedOver {
	for i, over := range p.Found.PassedOver {
		if !slices.ContainsFunc(over.Findings, func(f problem.Finding) bool {
			return f.Severity == problem.Stop && !slices.Contains(aboutValues, f.Rule)
		}) {
			return &p.Found.PassedOver[i]
		}
	}
	return nil
}

// MaySet tells whether the instruments may be set to this cylinder, where that would answer what is found or is answering it.
func (p takePage) MaySet() bool {
	return len(p.Chosen.ToCertified) > 0 && (p.Order.SetToCertified || p.OfValues(p.Shown()))
}

// barredBy tells whether one of these rules stops or asks.
func barredBy(found []problem.Finding, rules []string) bool {
	return slices.ContainsFunc(found, func(f problem.Finding) bool {
		return f.Severity != problem.Note && slices.Contains(rules, f.Rule)
	})
}

// onlyNamed leaves of a kit what an order names: nothing is proposed anew to somebody who has chosen.
func onlyNamed(kit stock.Kit, o stock.CheckOutOrder) stock.Kit {
	kit.Regulator, kit.Tubing, kit.Cap = ifNamed(o.Regulator), ifNamed(o.Tubing), ifNamed(o.Cap)
	kit.Why, kit.Missing = "", ""
	kit.Parts = slices.DeleteFunc(kit.Parts, func(part stock.KitPart) bool {
		return part.Code != map[string]string{"regulator": o.Regulator, "tubing": o.Tubing, "cap": o.Cap}[part.Kind]
	})
	return kit
}

func ifNamed(code string) *string {
	if code == "" {
		return nil
	}
	return &code
}

package views

import (
	"fmt"
	"reflect"
	"slices"
)

// verdictsPart is what the part "verdicts" shows: findings worst first, or one line when there are none.
type verdictsPart struct {
	Form    string // id of the form that carries the reasons; "" shows none
	Nothing string
	Prefix  string // tells the ids of two lists on one page apart
	Own     string // what the page is about: findings on it need not name it

	verdicts []verdict
}

// verdict is a finding with the field for its reason: one reason answers all asks of its rule, so only the first has it.
type verdict struct {
	Finding
	ID     string
	Reason *fieldPart
}

// Verdicts gives the lines in their order.
func (v verdictsPart) Verdicts() []verdict { return v.verdicts }

// newVerdicts takes the findings of any room, as long as they have the fields of Finding.
func newVerdicts(p Page, findings any, pairs ...any) (verdictsPart, error) {
	v := verdictsPart{Nothing: "nothing against it"}
	if err := fill(&v, pairs); err != nil {
		return v, err
	}
	var sorted []Finding
	if err := assign(reflect.ValueOf(&sorted).Elem(), findings); err != nil {
		return v, fmt.Errorf("verdicts: %w", err)
	}
	sorted = slices.Clone(sorted) // the page's own findings keep their order
	slices.SortStableFunc(sorted, func(a, b Finding) int { return rank(a.Severity) - rank(b.Severity) })
	asked := map[string]bool{}
	for i, f := range sorted {
		if f.Subject == v.Own {
			f.Subject = ""
		}
		one := verdict{Finding: f, ID: fmt.Sprintf("verdict-%s%d", v.Prefix, i+1)}
		if f.Severity == "ask" && v.Form != "" && !asked[f.Rule] {
			asked[f.Rule] = true
			reason, err := newField(p, "reasons."+f.Rule, "label", "Reason to go on", "about", one.ID, "form", v.Form)
			if err != nil {
				return v, err
			}
			one.Reason = &reason
		}
		v.verdicts = append(v.verdicts, one)
	}
	return v, nil
}

func rank(severity string) int {
	if at := slices.Index([]string{"stop", "ask"}, severity); at >= 0 {
		return at
	}
	return 2
}

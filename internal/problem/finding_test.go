package problem

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func anyFindings(t *rapid.T) []Finding {
	one := rapid.Custom(func(t *rapid.T) Finding {
		return Finding{
			Rule:     rapid.SampledFrom([]string{"R7", "R17", "R20", "R21"}).Draw(t, "rule"),
			Severity: rapid.SampledFrom([]Severity{Stop, Ask, Note}).Draw(t, "severity"),
			Subject:  rapid.StringMatching(`[A-Z]{1,3}`).Draw(t, "subject"),
			Text:     "text", Advice: "advice",
		}
	})
	return rapid.SliceOfN(one, 0, 8).Draw(t, "findings")
}

func TestSortPutsTheWorstFirstAndKeepsTheOrderOfEquals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		before := anyFindings(t)
		sorted := Sort(slices.Clone(before))
		for i := 1; i < len(sorted); i++ {
			if sorted[i-1].Severity.Milder(sorted[i].Severity) {
				t.Fatalf("%v stands before %v", sorted[i-1], sorted[i])
			}
		}
		for _, severity := range []Severity{Stop, Ask, Note} {
			other := func(f Finding) bool { return f.Severity != severity }
			if got, want := slices.DeleteFunc(slices.Clone(sorted), other), slices.DeleteFunc(slices.Clone(before), other); !slices.Equal(got, want) {
				t.Fatalf("the %ss are %v, were %v", severity, got, want)
			}
		}
		if len(sorted) > 0 && Worst(before) != sorted[0].Severity || len(sorted) == 0 && Worst(before) != "" {
			t.Fatalf("the worst of %v is %q", before, Worst(before))
		}
	})
}

func TestMilder(t *testing.T) {
	if !Note.Milder(Ask) || !Ask.Milder(Stop) || !Note.Milder(Stop) || Stop.Milder(Ask) || Ask.Milder(Ask) {
		t.Error("the order is not stop, ask, note")
	}
}

func TestReasonsAnswerTheAsksOfTheirRuleOnly(t *testing.T) {
	stop := Finding{Rule: "R21", Severity: Stop, Text: "the outlets differ", Advice: "take another regulator"}
	ask := Finding{Rule: "R20", Severity: Ask, Text: "it may run dry", Advice: "carry a spare"}
	askTwice := Finding{Rule: "R20", Severity: Ask, Text: "it may run dry at instrument 12"}
	note := Finding{Rule: "R17", Severity: Note, Text: "oxygen is not covered"}
	for _, c := range []struct {
		name     string
		findings []Finding
		reasons  map[string]string
		open     []Finding
		detail   string
	}{
		{"nothing against it", nil, nil, nil, ""},
		{"a note never stands in the way", []Finding{note}, nil, nil, ""},
		{"an ask wants a reason", []Finding{note, ask}, nil, []Finding{ask}, "a reason is needed: it may run dry"},
		{"a blank reason is none", []Finding{ask}, map[string]string{"R20": " \t"}, []Finding{ask}, "a reason is needed"},
		{"a reason for another rule", []Finding{ask}, map[string]string{"R21": "spare in the van"}, []Finding{ask}, "a reason is needed"},
		{"one reason answers all asks of its rule", []Finding{ask, note, askTwice}, map[string]string{"R20": "spare in the van"}, nil, ""},
		{"no reason passes a stop", []Finding{ask, stop}, map[string]string{"R20": "spare", "R21": "I insist"}, []Finding{stop}, "R21: the outlets differ"},
		{"the stop is told first", []Finding{ask, stop}, nil, []Finding{stop, ask}, "R21: the outlets differ"},
	} {
		if got := Open(c.findings, c.reasons); !slices.Equal(got, c.open) {
			t.Errorf("%s: open are %v, want %v", c.name, got, c.open)
		}
		err := Refuse(c.findings, c.reasons)
		if len(c.open) == 0 {
			if err != nil {
				t.Errorf("%s: refused with %v", c.name, err)
			}
			continue
		}
		var e *Error
		if !errors.As(err, &e) || e.Kind != Refused || e.Advice == "" || !strings.HasPrefix(e.Detail, c.detail) {
			t.Errorf("%s: the refusal is %#v", c.name, err)
			continue
		}
		if len(e.Findings) != len(c.findings) || e.Findings[0] != c.open[0] {
			t.Errorf("%s: the refusal tells %v", c.name, e.Findings)
		}
	}
}

func TestRefuseLeavesTheFindingsAsTheyWere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		findings := anyFindings(t)
		before := slices.Clone(findings)
		err := Refuse(findings, map[string]string{"R20": "spare in the van"})
		if !slices.Equal(findings, before) {
			t.Fatal("the caller's findings are reordered")
		}
		if blocked := len(Open(findings, map[string]string{"R20": "spare in the van"})) > 0; (err != nil) != blocked {
			t.Fatalf("%v: refused is %v", findings, err)
		}
	})
}

package views

import (
	"html/template"
	"strings"
	"testing"
)

// theirs is a finding as another room has it, with named kinds and more than is shown.
type theirs struct {
	Rule, Subject code
	Severity      code
	Text          string
	Advice        *string
	Secret        string
}

func TestFillTakesNamedKinds(t *testing.T) {
	var c cardPart
	err := fill(&c, []any{"tag", code("7F3K-2AB"), "components", []code{"H2S 25 ppm", "rest N2"}, "useby", day("2027-03-05"), "lot", 7, "gas", nil, "place", (*string)(nil)})
	if err != nil {
		t.Fatal(err)
	}
	if c.Tag != "7F3K-2AB" || strings.Join(c.Components, ";") != "H2S 25 ppm;rest N2" || c.UseBy != "2027-03-05" || c.Lot != "7" || c.Gas != nil || c.Place != "" {
		t.Errorf("%+v", c)
	}
}

func TestFillRefusesWhatAPartDoesNotTake(t *testing.T) {
	for _, c := range []struct {
		part  any
		pairs []any
		word  string
	}{
		{&cardPart{}, []any{"colour", "red"}, `takes no "colour"`},
		{&cardPart{}, []any{"zoned", Page{}}, `takes no "zoned"`},
		{&cardPart{}, []any{"tag"}, "pair up"},
		{&cardPart{}, []any{"gas", "full"}, "cannot take"},
		{&gasBar{}, []any{"low", "a lot"}, "no number"},
		{&labelPart{}, []any{"printed", "twice"}, "no number"},
		{&labelPart{}, []any{"code", "<svg onload=alert(1)>"}, "cannot take"},
	} {
		if err := fill(c.part, c.pairs); err == nil || !strings.Contains(err.Error(), c.word) {
			t.Errorf("%v: %v, want %q", c.pairs, err, c.word)
		}
	}
	var l labelPart
	if err := fill(&l, []any{"code", template.HTML("<svg></svg>"), "printed", volume(2)}); err != nil || l.Code != "<svg></svg>" || l.Printed != 2 {
		t.Errorf("%+v, %v", l, err)
	}
}

func TestVerdictsTakeFindingsOfAnyRoom(t *testing.T) {
	next := "take another"
	findings := []theirs{
		{Rule: "R22", Severity: "note", Text: "cold"},
		{Rule: "R20", Severity: "ask", Text: "one is missing", Advice: &next},
		{Rule: "R17", Severity: "stop", Text: "wrong gas"},
		{Rule: "R20", Severity: "ask", Text: "another is missing"},
	}
	p := Page{Typed: map[string]string{"reasons.R20": "spare in the van"}}
	v, err := newVerdicts(p, findings, "form", "order")
	if err != nil {
		t.Fatal(err)
	}
	var order []string
	for _, one := range v.Verdicts() {
		order = append(order, one.Text)
	}
	if got := strings.Join(order, ", "); got != "wrong gas, one is missing, another is missing, cold" {
		t.Errorf("not the worst first: %s", got)
	}
	first, second := v.Verdicts()[1], v.Verdicts()[2]
	if first.Reason == nil || first.Reason.Name != "reasons.R20" || first.Reason.Typed() != "spare in the van" || first.Advice != next {
		t.Errorf("the ask carries %+v", first)
	}
	if second.Reason != nil {
		t.Error("the second ask of a rule has a field of its own: one reason answers both")
	}
	if findings[0].Rule != "R22" {
		t.Error("the room's own findings were moved")
	}
	if _, err := newVerdicts(p, []struct{ Rule string }{{"R1"}}); err == nil {
		t.Error("findings without a text were taken")
	}
	if _, err := newVerdicts(p, 7); err == nil {
		t.Error("a number was taken for findings")
	}
	if v, err := newVerdicts(p, nil); err != nil || len(v.Verdicts()) != 0 {
		t.Errorf("no findings: %+v, %v", v, err)
	}
}

func TestVerdictsWithoutAFormAskForNothing(t *testing.T) {
	v, err := newVerdicts(Page{}, []Finding{{Rule: "R20", Severity: "ask"}})
	if err != nil || v.Verdicts()[0].Reason != nil {
		t.Errorf("%+v, %v", v.Verdicts(), err)
	}
}

package shelf

import (
	"encoding/json"
	"errors"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

func TestReferenceCasesOfExpiry(t *testing.T) {
	text, err := os.ReadFile("../../testdata/shelf/expiry.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []struct {
		ID   string
		In   ExpiryQuestion
		Want map[string]any
	}
	if err := json.Unmarshal(text, &cases); err != nil || len(cases) == 0 {
		t.Fatalf("%d cases, %v", len(cases), err)
	}
	for _, c := range cases {
		answer, err := CalcExpiry(c.In)
		if err != nil {
			t.Errorf("%s: %v", c.ID, err)
			continue
		}
		told, err := json.Marshal(answer)
		if err != nil {
			t.Fatal(err)
		}
		got := map[string]any{}
		if err := json.Unmarshal(told, &got); err != nil {
			t.Fatal(err)
		}
		for name, want := range c.Want {
			if value, ok := got[name]; !ok || !reflect.DeepEqual(value, want) {
				t.Errorf("%s: %s is %v, want %v", c.ID, name, value, want)
			}
		}
	}
}

func TestCalculatorTakesTheOtherTermsToo(t *testing.T) {
	q := ExpiryQuestion{
		Components: []string{"Cl2", "N2"}, Today: "24 Nov 2026", CertificateExpiresOn: "2027-08-10", LabelExpiresOn: "07/2027",
		FilledOn: "2026-08-01", AssayedOn: "2026-08-10", CapMonths: map[string]*int{"Cl2": n(8), "N2": n(60)},
	}
	for _, c := range []struct {
		name   string
		change func(*ExpiryQuestion)
		want   unit.Date
		by     Term
	}{
		{"the assay date and the cap", func(*ExpiryQuestion) {}, "2027-04-10", Component},
		{"the label", func(q *ExpiryQuestion) { q.CapMonths = nil }, "2027-07-31", Label},
		{"opened", func(q *ExpiryQuestion) { q.OpenedOn, q.OpenedDays = "2026-12-01", map[string]*int{"Cl2": n(75)} }, "2027-02-14", Opened},
		{"store", func(q *ExpiryQuestion) { q.StoreCapMonths = n(6) }, "2027-02-10", Store},
	} {
		question := q
		c.change(&question)
		a, err := CalcExpiry(question)
		if err != nil || a.ExpiresOn == nil || *a.ExpiresOn != c.want || a.GovernedBy != c.by || *a.SupplierExpiresOn != "2027-07-31" || !a.CalibrationAllowed {
			t.Errorf("%s: got %+v, %v", c.name, a, err)
		}
		if !slices.ContainsFunc(a.Findings, func(f problem.Finding) bool { return f.Severity == problem.Ask }) {
			t.Errorf("%s: the two dates differ, and it does not ask", c.name)
		}
	}
}

func TestCalculatorTellsAllThatIsWrong(t *testing.T) {
	_, err := CalcExpiry(ExpiryQuestion{
		Components: []string{"Cl2", ""}, CertificateExpiresOn: "05/04/27", FilledOn: "2026-02-30", OpenedOn: unit.Date(strings.Repeat("9", 9000)),
		CapMonths: map[string]*int{"Cl2": n(-1)}, FallbackMonths: map[string]*int{"Cl2": n(2_000_000_000)}, OpenedDays: map[string]*int{"Cl2": n(99_999)}, StoreCapMonths: n(1201),
	})
	var e *problem.Error
	if !errors.As(err, &e) || e.Kind != problem.Invalid {
		t.Fatalf("got %v", err)
	}
	var names []string
	for _, f := range e.Fields {
		names = append(names, f.Name)
		if f.Text == "" || f.Advice == "" {
			t.Errorf("%s has no text or next step", f.Name)
		}
	}
	slices.Sort(names)
	want := []string{"cap_months.Cl2", "certificate_expires_on", "components.1", "fallback_months.Cl2", "filled_on", "opened_days.Cl2", "opened_on", "store_cap_months", "today"}
	if !slices.Equal(names, want) {
		t.Errorf("wrong are %v, want %v", names, want)
	}
	if _, err := CalcExpiry(ExpiryQuestion{Today: "2026-11-24"}); problem.KindOf(err) != problem.Invalid {
		t.Errorf("no component: %v", err)
	}
}

func TestProposedTable(t *testing.T) {
	table := Proposed()
	for _, component := range []string{"CH4", "O2", "CO", "H2S", "N2", "Cl2", "NH3", "air"} {
		if l := table[component]; l.CapMonths == nil || l.FallbackMonths == nil {
			t.Errorf("%s has no row", component)
		}
	}
	for component, l := range table {
		if l.CapMonths == nil || l.FallbackMonths == nil || *l.FallbackMonths > *l.CapMonths || *l.CapMonths > mostMonths || l.OpenedDays != nil {
			t.Errorf("%s: %+v", component, l)
		}
	}
	if *table["Cl2"].CapMonths != 12 || *table["Cl2"].FallbackMonths != 6 {
		t.Errorf("chlorine is %d and %d months", *table["Cl2"].CapMonths, *table["Cl2"].FallbackMonths)
	}
	table["Cl2"] = Limit{}
	if Proposed()["Cl2"].CapMonths == nil {
		t.Error("a change of one copy reaches the next")
	}
}

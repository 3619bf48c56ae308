package shelf

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestBoundsOfEachTerm(t *testing.T) {
	chlorine := Terms{Components: []string{"Cl2", "N2"}, Limits: site, FilledOn: "2026-08-10"}
	all := chlorine
	all.CertificateExpiresOn, all.LabelExpiresOn, all.OpenedOn, all.StoreCapMonths = "2027-08-10", "2027-07-10", "2027-01-04", n(12)
	unfilled := all
	unfilled.FilledOn = ""
	for name, c := range map[string]struct {
		terms Terms
		want  string
	}{
		"all of them":  {all, "certificate 2026-08-10 2027-08-10 []; label 2026-08-10 2027-07-10 []; component 2026-08-10 2027-04-10 [Cl2]; opened 2027-01-04 2027-03-20 [Cl2]; store 2026-08-10 2027-08-10 []"},
		"no fill date": {unfilled, "certificate  2027-08-10 []; label  2027-07-10 []; opened 2027-01-04 2027-03-20 [Cl2]"},
		"the fallback": {chlorine, "component 2026-08-10 2027-02-10 [Cl2]"},
		"nothing":      {Terms{Components: []string{"Cl2"}, Limits: site}, ""},
	} {
		var got []string
		for _, b := range c.terms.Bounds() {
			got = append(got, fmt.Sprintf("%s %s %s %v", b.Term, b.From, b.On, b.Components))
		}
		if said := strings.Join(got, "; "); said != c.want {
			t.Errorf("%s: %s, want %s", name, said, c.want)
		}
	}
}

func TestTheEarliestBoundIsTheUseBy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		terms := anyTerms(t)
		u := terms.UseBy()
		met := u.Undated
		for _, b := range terms.Bounds() {
			if !u.Undated && b.On < u.ExpiresOn {
				t.Fatalf("%s ends on %s, before the use-by %s", b.Term, b.On, u.ExpiresOn)
			}
			if b.Term == u.GovernedBy && b.On == u.ExpiresOn && b.Words == u.Words {
				met = true
			}
		}
		if !met {
			t.Fatalf("%s by %s is no bound of %v", u.ExpiresOn, u.GovernedBy, terms.Bounds())
		}
	})
}

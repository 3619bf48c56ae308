package shelf

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

func n(v int) *int { return &v }

// The site of the scenarios: chlorine 8 months and 75 days after opening, ammonia 10 months, hydrogen sulphide 24.
var site = map[string]Limit{
	"Cl2": {CapMonths: n(8), FallbackMonths: n(6), OpenedDays: n(75)},
	"NH3": {CapMonths: n(10), FallbackMonths: n(6), OpenedDays: n(100)},
	"H2S": {CapMonths: n(24), FallbackMonths: n(6)},
	"SO2": {CapMonths: n(24), FallbackMonths: n(6)},
	"CO":  {CapMonths: n(48), FallbackMonths: n(24)},
	"N2":  {CapMonths: n(60), FallbackMonths: n(48)},
}

func TestWhatLimitsTheUseBy(t *testing.T) {
	chlorine := []string{"Cl2", "N2"}
	for _, c := range []struct {
		name       string
		terms      Terms
		on         unit.Date
		by         Term
		components []string
		words      string
	}{
		{"the site's cap shortens the certificate", Terms{Components: chlorine, CertificateExpiresOn: "2027-08-10", FilledOn: "2026-08-10"},
			"2027-04-10", Component, []string{"Cl2"}, "limited by Cl2: site cap 8 months"},
		{"the cap never lengthens it", Terms{Components: chlorine, CertificateExpiresOn: "2027-01-15", FilledOn: "2026-08-10"},
			"2027-01-15", Certificate, nil, "limited by the certificate"},
		{"certificate and label differ", Terms{Components: []string{"CO", "N2"}, CertificateExpiresOn: "2027-08-10", LabelExpiresOn: "2027-07-10"},
			"2027-07-10", Label, nil, "limited by the label"},
		{"the assay date counts before the fill date", Terms{Components: chlorine, CertificateExpiresOn: "2028-08-10", FilledOn: "2027-06-20", AssayedOn: "2027-06-30"},
			"2028-02-29", Component, []string{"Cl2"}, "limited by Cl2: site cap 8 months"},
		{"two components tie", Terms{Components: []string{"SO2", "CO", "H2S", "SO2"}, CertificateExpiresOn: "2030-01-01", FilledOn: "2026-01-31"},
			"2028-01-31", Component, []string{"SO2", "H2S"}, "limited by SO2 and H2S: site cap 24 months"},
		{"opening starts its own clock", Terms{Components: chlorine, CertificateExpiresOn: "2027-08-10", FilledOn: "2026-08-10", OpenedOn: "2026-12-01"},
			"2027-02-14", Opened, []string{"Cl2"}, "limited by Cl2: 75 days after opening"},
		{"opening without an opened cap changes nothing", Terms{Components: []string{"H2S", "N2"}, CertificateExpiresOn: "2027-08-10", FilledOn: "2026-08-10", OpenedOn: "2026-12-01"},
			"2027-08-10", Certificate, nil, "limited by the certificate"},
		{"the store's own cap", Terms{Components: chlorine, CertificateExpiresOn: "2027-08-10", FilledOn: "2026-08-10", StoreCapMonths: n(1)},
			"2026-09-10", Store, nil, "limited by the store: cap 1 month"},
		{"without a supplier's date the fallback counts", Terms{Components: chlorine, FilledOn: "2026-08-31"},
			"2027-02-28", Component, []string{"Cl2"}, "limited by Cl2: fallback 6 months, for bump tests only"},
		{"a tie names the earlier term", Terms{Components: chlorine, CertificateExpiresOn: "2027-04-10", LabelExpiresOn: "2027-04-10", FilledOn: "2026-08-10", OpenedOn: "2027-01-25", StoreCapMonths: n(8)},
			"2027-04-10", Certificate, nil, "limited by the certificate"},
		{"label before component", Terms{Components: chlorine, LabelExpiresOn: "2027-04-10", FilledOn: "2026-08-10"},
			"2027-04-10", Label, nil, "limited by the label"},
		{"component before opened and store", Terms{Components: chlorine, LabelExpiresOn: "2028-04-10", FilledOn: "2026-08-10", OpenedOn: "2027-01-25", StoreCapMonths: n(8)},
			"2027-04-10", Component, []string{"Cl2"}, "limited by Cl2: site cap 8 months"},
		{"a date without a cap", Terms{Components: []string{"ClF3"}, CertificateExpiresOn: "2027-04-10", FilledOn: "2026-08-10"},
			"2027-04-10", Certificate, nil, "limited by the certificate"},
	} {
		c.terms.Limits = site
		u := c.terms.UseBy()
		if u.ExpiresOn != c.on || u.GovernedBy != c.by || !slices.Equal(u.Components, c.components) || u.Words != c.words || u.Undated {
			t.Errorf("%s: got %s by %s %v, %q", c.name, u.ExpiresOn, u.GovernedBy, u.Components, u.Words)
		}
		if c.components != nil && u.Component != c.components[0] {
			t.Errorf("%s: the component is %q", c.name, u.Component)
		}
		supplier := c.terms.CertificateExpiresOn != "" || c.terms.LabelExpiresOn != ""
		if u.CalibrationAllowed != supplier || (u.SupplierExpiresOn != "") != supplier {
			t.Errorf("%s: calibration allowed %v, supplier's expiry %q", c.name, u.CalibrationAllowed, u.SupplierExpiresOn)
		}
	}
}

func TestUndatedLots(t *testing.T) {
	for name, c := range map[string]struct {
		terms Terms
		says  string
	}{
		"no date at all":              {Terms{Components: []string{"CO"}}, "no fill or assay date"},
		"a component unknown":         {Terms{Components: []string{"CO", "ClF3"}, FilledOn: "2026-08-10"}, "no fallback for ClF3"},
		"opened does not date it":     {Terms{Components: []string{"Cl2", "B2H6"}, FilledOn: "2026-08-10", OpenedOn: "2026-09-01"}, "no fallback for B2H6"},
		"a store cap does not either": {Terms{Components: []string{"Cl2"}, OpenedOn: "2026-09-01", StoreCapMonths: n(12)}, "no fill or assay date"},
		"no component":                {Terms{FilledOn: "2026-08-10"}, "no component"},
	} {
		c.terms.Limits = site
		u := c.terms.UseBy()
		if !u.Undated || u.ExpiresOn != "" || u.GovernedBy != Unknown || u.CalibrationAllowed || u.Components != nil {
			t.Errorf("%s: got %+v", name, u)
		}
		if !strings.Contains(u.Words, c.says) || len(u.Findings) != 1 || !strings.Contains(u.Findings[0].Text, c.says) {
			t.Errorf("%s: %q, %v do not say %q", name, u.Words, u.Findings, c.says)
		}
	}
}

func TestFindingsOfTheDates(t *testing.T) {
	for name, c := range map[string]struct {
		terms    Terms
		severity problem.Severity
		subject  string
		says     string
	}{
		"dates differ": {Terms{Components: []string{"CO"}, CertificateExpiresOn: "2027-08-10", LabelExpiresOn: "2027-07-10", FilledOn: "2026-08-10"},
			problem.Ask, "supplier's expiry", "the certificate says 10 Aug 2027, the label says 10 Jul 2027"},
		"cap unknown": {Terms{Components: []string{"CO", "ClF3", "B2H6"}, CertificateExpiresOn: "2027-08-10", FilledOn: "2026-08-10"},
			problem.Note, "ClF3 and B2H6", "no cap known for ClF3 and B2H6"},
		"caps cannot count": {Terms{Components: []string{"CO"}, CertificateExpiresOn: "2027-08-10"},
			problem.Note, "use-by", "no fill or assay date"},
		"the store's cap cannot count": {Terms{LabelExpiresOn: "2027-08-10", StoreCapMonths: n(12)},
			problem.Note, "use-by", "no fill or assay date"},
		"bump only": {Terms{Components: []string{"CO"}, FilledOn: "2026-08-10"}, problem.Note, "use-by", "bump tests only"},
	} {
		c.terms.Limits = site
		found := c.terms.UseBy().Findings
		if len(found) != 1 {
			t.Errorf("%s: got %v", name, found)
			continue
		}
		f := found[0]
		if f.Rule != "R7" || f.Severity != c.severity || f.Subject != c.subject || !strings.Contains(f.Text, c.says) || f.Advice == "" {
			t.Errorf("%s: got %+v", name, f)
		}
	}
	differ := Terms{Components: []string{"CO"}, Limits: site, CertificateExpiresOn: "2027-08-10", LabelExpiresOn: "2027-07-10", FilledOn: "2026-08-10"}.UseBy().Findings[0]
	if !strings.Contains(differ.Advice, "compare") || !strings.Contains(differ.Advice, "10 Jul 2027") {
		t.Errorf("the advice is %q", differ.Advice)
	}
	if quiet := (Terms{Components: []string{"CO"}, Limits: site, CertificateExpiresOn: "2027-08-10", LabelExpiresOn: "2027-08-10", FilledOn: "2026-08-10"}).UseBy().Findings; quiet != nil {
		t.Errorf("nothing is wrong, and it says %v", quiet)
	}
}

func TestSealedCandidateIsJudgedAsIfOpened(t *testing.T) {
	sealed := Terms{Components: []string{"Cl2", "N2"}, Limits: site, CertificateExpiresOn: "2027-08-10", FilledOn: "2026-08-10"}
	if u := sealed.IfOpenedOn("2026-11-24").UseBy(); u.ExpiresOn != "2027-02-07" || u.GovernedBy != Opened {
		t.Errorf("got %s by %s", u.ExpiresOn, u.GovernedBy)
	}
	if u := sealed.UseBy(); u.GovernedBy != Component {
		t.Errorf("the sealed one itself is limited by %s", u.GovernedBy)
	}
	already := sealed
	already.OpenedOn = "2026-10-01"
	if got := already.IfOpenedOn("2026-11-24").OpenedOn; got != "2026-10-01" {
		t.Errorf("an opened one is judged as opened on %s", got)
	}
}

func TestExpiredAndDaysLeft(t *testing.T) {
	for _, c := range []struct {
		expires, day    unit.Date
		through, before bool
		left            int
	}{
		{"2027-03-28", "2027-03-27", false, false, 1},
		{"2027-03-28", "2027-03-28", false, true, 0},
		{"2027-03-28", "2027-03-29", true, true, -1},
	} {
		if Expired(c.expires, c.day, true) != c.through || Expired(c.expires, c.day, false) != c.before || DaysLeft(c.expires, c.day) != c.left {
			t.Errorf("%s on %s: through %v, before %v, left %d", c.expires, c.day, Expired(c.expires, c.day, true), Expired(c.expires, c.day, false), DaysLeft(c.expires, c.day))
		}
	}
	if Expired("", "2027-03-28", true) || Expired("", "2027-03-28", false) {
		t.Error("no date has passed")
	}
}

func anyFigure(t *rapid.T, most int, label string) *int {
	if !rapid.Bool().Draw(t, label+" known") {
		return nil
	}
	return n(rapid.IntRange(0, most).Draw(t, label))
}

func anyDate(t *rapid.T, label string) unit.Date {
	if !rapid.Bool().Draw(t, label+" known") {
		return ""
	}
	return unit.Date("2025-01-01").AddDays(rapid.IntRange(0, 1500).Draw(t, label))
}

func anyTerms(t *rapid.T) Terms {
	names := []string{"Cl2", "H2S", "CO", "N2", "ClF3"}
	limits := map[string]Limit{}
	for _, name := range names {
		limits[name] = Limit{CapMonths: anyFigure(t, 60, name+" cap"), FallbackMonths: anyFigure(t, 48, name+" fallback"), OpenedDays: anyFigure(t, 400, name+" opened")}
	}
	return Terms{
		Components: rapid.SliceOfN(rapid.SampledFrom(names), 1, 5).Draw(t, "components"), Limits: limits,
		CertificateExpiresOn: anyDate(t, "certificate"), LabelExpiresOn: anyDate(t, "label"),
		FilledOn: anyDate(t, "fill"), AssayedOn: anyDate(t, "assay"), OpenedOn: anyDate(t, "opened"), StoreCapMonths: anyFigure(t, 60, "store"),
	}
}

// later tells whether an added term gave more time: a date that moved on, or one where there was none.
func later(before, after UseBy) bool {
	return !before.Undated && (after.ExpiresOn == "" || after.ExpiresOn > before.ExpiresOn) || before.Undated && !after.Undated
}

func TestAddingATermNeverMakesTheUseByLater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := anyTerms(t)
		base.OpenedOn, base.StoreCapMonths = "", nil
		if base.supplier() == "" {
			base.LabelExpiresOn = "2026-06-01" // the first supplier's date takes the fallback's place, and may be later
		}
		before := base.UseBy()
		for name, add := range map[string]func(*Terms){
			"certificate": func(t *Terms) { t.CertificateExpiresOn = unit.EarlierOf(t.CertificateExpiresOn, "2026-07-01") },
			"label":       func(t *Terms) { t.LabelExpiresOn = unit.EarlierOf(t.LabelExpiresOn, "2026-05-01") },
			"opened":      func(t *Terms) { t.OpenedOn = "2026-02-01" },
			"store":       func(t *Terms) { t.StoreCapMonths = n(9) },
			"component":   func(t *Terms) { t.Components = append(slices.Clone(t.Components), "Cl2") },
		} {
			more := base
			add(&more)
			if after := more.UseBy(); later(before, after) {
				t.Fatalf("%s: %s became %s", name, before.ExpiresOn, after.ExpiresOn)
			}
		}
	})
}

func TestACapNeverLengthens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		capped := anyTerms(t)
		free := capped
		free.Limits = map[string]Limit{}
		for name, l := range capped.Limits {
			free.Limits[name] = Limit{FallbackMonths: l.FallbackMonths}
		}
		free.StoreCapMonths = nil
		if before, after := free.UseBy(), capped.UseBy(); later(before, after) {
			t.Fatalf("the caps move %q to %q", before.ExpiresOn, after.ExpiresOn)
		}
	})
}

func TestUseByHoldsTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		terms := anyTerms(t)
		u := terms.UseBy()
		if u.Undated != (u.ExpiresOn == "") || u.Undated != (u.GovernedBy == Unknown) || u.Words == "" {
			t.Fatalf("half dated: %+v", u)
		}
		if u.CalibrationAllowed != (u.SupplierExpiresOn != "") || u.SupplierExpiresOn != "" && u.ExpiresOn > u.SupplierExpiresOn {
			t.Fatalf("beyond the supplier's date: %+v", u)
		}
		byComponent := u.GovernedBy == Component || u.GovernedBy == Opened
		if byComponent != (len(u.Components) > 0) || byComponent && !strings.Contains(u.Words, u.Component) {
			t.Fatalf("the components do not match the term: %+v", u)
		}
		shuffled := terms
		shuffled.Components = rapid.Permutation(terms.Components).Draw(t, "shuffled")
		if other := shuffled.UseBy(); other.ExpiresOn != u.ExpiresOn || other.GovernedBy != u.GovernedBy {
			t.Fatalf("the order of components moves %s to %s", u.ExpiresOn, other.ExpiresOn)
		}
	})
}

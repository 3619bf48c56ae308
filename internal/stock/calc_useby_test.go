package stock

import (
	"fmt"
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store/storetest"
)

// It is 3 March 2027; chlorine has a cap of 8 months, 6 without a supplier's date, and 75 days once it is opened.
func TestUseByOfWhatIsAsked(t *testing.T) {
	h := settle(t, storetest.New(t))
	h.change("item", "CL", func(o catalogue.Order) { o.(*catalogue.Item).StoreCapMonths = new(int64(9)) })
	for name, c := range map[string]struct {
		q    UseByQuestion
		want string
	}{
		"the site's cap": {UseByQuestion{Blend: "CL", FilledOn: "10 Aug 2026", CertificateExpiresOn: "08/2027"},
			"2027-04-10 (supplier 2027-08-31), 38 days left, calibration true: the certificate 2026-08-10 2027-08-31; *Cl2: site cap 8 months 2026-08-10 2027-04-10"},
		"an item has the store's cap": {UseByQuestion{Item: "CL", FilledOn: "2026-08-10", LabelExpiresOn: "2028-08-10", OpenedOn: "2027-01-04"},
			"2027-03-20 (supplier 2028-08-10), 17 days left, calibration true: the label 2026-08-10 2028-08-10; Cl2: site cap 8 months 2026-08-10 2027-04-10; " +
				"*Cl2: 75 days after opening 2027-01-04 2027-03-20; the store: cap 9 months 2026-08-10 2027-05-10"},
		"no supplier's date": {UseByQuestion{Components: []string{"Cl2"}, FilledOn: "2026-08-31"},
			"2027-02-28 (supplier ), expired 3 days ago, calibration false: *Cl2: fallback 6 months, for bump tests only 2026-08-31 2027-02-28; note use-by"},
		"the last day": {UseByQuestion{Components: []string{"CO", "N2"}, LabelExpiresOn: "2027-03-03"},
			"2027-03-03 (supplier 2027-03-03), last day, calibration true: *the label  2027-03-03; note use-by"},
		"two dates of the supplier": {UseByQuestion{Blend: "Q4", LabelExpiresOn: "2027-05-01", CertificateExpiresOn: "2027-06-01"},
			"2027-05-01 (supplier 2027-05-01), 59 days left, calibration true: the certificate  2027-06-01; *the label  2027-05-01; ask supplier's expiry; note use-by"},
		"undated": {UseByQuestion{Blend: "CL"}, " (supplier ), , calibration false: ; note use-by"},
	} {
		a, err := h.CalculateUseBy(h.ctx(), c.q)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		var terms []string
		for _, term := range a.Terms {
			mark := map[bool]string{true: "*"}[term.Limits]
			terms = append(terms, fmt.Sprintf("%s%s %s %s", mark, term.Name, term.From, term.On))
		}
		got := fmt.Sprintf("%s (supplier %s), %s, calibration %v: %s", a.ExpiresOn, a.SupplierExpiresOn, a.Left(), a.CalibrationAllowed, strings.Join(terms, "; "))
		for _, f := range a.Findings {
			got += fmt.Sprintf("; %s %s", f.Severity, f.Subject)
		}
		if got != c.want {
			t.Errorf("%s:\n%s, want\n%s", name, got, c.want)
		}
		if a.Expired != (a.DaysLeft != nil && *a.DaysLeft < 0) {
			t.Errorf("%s: expired %v", name, a.Expired)
		}
	}
}

func TestUseByOnASiteWhoseDatesEndTheDayBefore(t *testing.T) {
	h := settle(t, storetest.New(t))
	h.settings(func(s *catalogue.Settings) { s.ExpiryValid = catalogue.Before })
	a, err := h.CalculateUseBy(h.ctx(), UseByQuestion{Blend: "Q4", LabelExpiresOn: "2027-03-03"})
	if err != nil || !a.Expired {
		t.Errorf("%+v, %v", a, err)
	}
}

func TestUseByQuestionsThatAreWrong(t *testing.T) {
	h := settle(t, storetest.New(t))
	for name, c := range map[string]struct {
		q    UseByQuestion
		want []string
	}{
		"nothing is said":     {UseByQuestion{}, []string{"item: it is not said which gas"}},
		"two gases":           {UseByQuestion{Blend: "CL", Components: []string{"Cl2"}}, []string{"components: an item or a blend is chosen as well"}},
		"no such gas":         {UseByQuestion{Item: "X"}, []string{`item: there is no item "X"`}},
		"no such component":   {UseByQuestion{Components: []string{"Cl2", "cl2"}}, []string{`components: there is no component "cl2"`}},
		"dates of two senses": {UseByQuestion{Blend: "CL", FilledOn: "05/04/26", LabelExpiresOn: "soon", CertificateExpiresOn: "2027-02-30"}, []string{"filled_on: ", "5 Apr 2026 or 4 May 2026", `label_expires_on: "soon" is not a date`, "certificate_expires_on: 2027-02 has no day 30"}},
		"still to come":       {UseByQuestion{Blend: "CL", FilledOn: "2027-03-04", OpenedOn: "2028-01-01"}, []string{"filled_on: 4 Mar 2027 is still to come", "opened_on: 1 Jan 2028 is still to come"}},
		"opened before fill":  {UseByQuestion{Blend: "CL", FilledOn: "2027-03-01", OpenedOn: "2027-02-01"}, []string{"opened_on: 1 Feb 2027 is before the fill"}},
	} {
		_, err := h.CalculateUseBy(h.ctx(), c.q)
		if problem.KindOf(err) != problem.Invalid {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, want := range c.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %q does not say %q", name, err, want)
			}
		}
	}
}

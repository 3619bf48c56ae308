package shelf

import (
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// ExpiryQuestion is what the date calculator takes. It brings its own caps and fallbacks, by component.
type ExpiryQuestion struct {
	Components           []string        `json:"components"`
	Today                unit.Date       `json:"today"`
	CertificateExpiresOn unit.Date       `json:"certificate_expires_on"`
	LabelExpiresOn       unit.Date       `json:"label_expires_on"`
	FilledOn             unit.Date       `json:"filled_on"`
	AssayedOn            unit.Date       `json:"assayed_on"`
	OpenedOn             unit.Date       `json:"opened_on"`
	CapMonths            map[string]*int `json:"cap_months"`
	FallbackMonths       map[string]*int `json:"fallback_months"`
	OpenedDays           map[string]*int `json:"opened_days"`
	StoreCapMonths       *int            `json:"store_cap_months"`
}

// ExpiryAnswer is the use-by with what limits it; the first three are null for an undated lot.
type ExpiryAnswer struct {
	ExpiresOn          *unit.Date        `json:"expires_on"`
	DaysLeft           *int              `json:"days_left"`
	Expired            *bool             `json:"expired"`
	GovernedBy         Term              `json:"governed_by"`
	LimitingComponents []string          `json:"limiting_components"`
	Words              string            `json:"words"`
	SupplierExpiresOn  *unit.Date        `json:"supplier_expires_on"`
	CalibrationAllowed bool              `json:"calibration_allowed"`
	Findings           []problem.Finding `json:"findings"`
}

const (
	mostComponents = 50
	longestName    = 60
	mostMonths     = 1200
	mostDays       = 36525
)

// CalcExpiry answers by rule R7; a date is good through its day.
func CalcExpiry(q ExpiryQuestion) (ExpiryAnswer, error) {
	if err := q.check(); err != nil {
		return ExpiryAnswer{}, err
	}
	u := q.terms().UseBy()
	a := ExpiryAnswer{
		GovernedBy: u.GovernedBy, LimitingComponents: append([]string{}, u.Components...), Words: u.Words,
		CalibrationAllowed: u.CalibrationAllowed, Findings: append([]problem.Finding{}, u.Findings...),
	}
	if u.SupplierExpiresOn != "" {
		a.SupplierExpiresOn = &u.SupplierExpiresOn
	}
	if !u.Undated {
		left, expired := DaysLeft(u.ExpiresOn, q.Today), Expired(u.ExpiresOn, q.Today, true)
		a.ExpiresOn, a.DaysLeft, a.Expired = &u.ExpiresOn, &left, &expired
	}
	return a, nil
}

// check reads every date in place and refuses figures outside any storeroom's bounds.
func (q *ExpiryQuestion) check() error {
	var wrong problem.Fields
	if n := len(q.Components); n == 0 || n > mostComponents {
		wrong.Add("components", fmt.Sprintf("there are %d components", n), fmt.Sprintf("name 1 to %d, the balance included", mostComponents))
	}
	if q.Today == "" {
		wrong.Add("today", "there is no day to count from", "write it as YYYY-MM-DD")
	}
	for _, f := range []struct {
		name string
		date *unit.Date
	}{
		{"today", &q.Today}, {"certificate_expires_on", &q.CertificateExpiresOn}, {"label_expires_on", &q.LabelExpiresOn},
		{"filled_on", &q.FilledOn}, {"assayed_on", &q.AssayedOn}, {"opened_on", &q.OpenedOn},
	} {
		if *f.date == "" {
			continue
		}
		date, err := unit.ParseDate(string(*f.date))
		wrong.Take(f.name, err)
		*f.date = date
	}
	for i, component := range q.Components {
		if len(component) == 0 || len(component) > longestName {
			wrong.Add(fmt.Sprintf("components.%d", i), "it is not the name of a component", "write its formula, such as H2S")
			continue
		}
		within(&wrong, "cap_months."+component, q.CapMonths[component], mostMonths)
		within(&wrong, "fallback_months."+component, q.FallbackMonths[component], mostMonths)
		within(&wrong, "opened_days."+component, q.OpenedDays[component], mostDays)
	}
	within(&wrong, "store_cap_months", q.StoreCapMonths, mostMonths)
	return wrong.Err()
}

func within(wrong *problem.Fields, name string, n *int, most int) {
	if n != nil && (*n < 0 || *n > most) {
		wrong.Add(name, fmt.Sprintf("%d is out of range", *n), fmt.Sprintf("give 0 to %d, or nothing", most))
	}
}

func (q ExpiryQuestion) terms() Terms {
	limits := make(map[string]Limit, len(q.Components))
	for _, c := range q.Components {
		limits[c] = Limit{CapMonths: q.CapMonths[c], FallbackMonths: q.FallbackMonths[c], OpenedDays: q.OpenedDays[c]}
	}
	return Terms{
		Components: q.Components, Limits: limits, StoreCapMonths: q.StoreCapMonths,
		CertificateExpiresOn: q.CertificateExpiresOn, LabelExpiresOn: q.LabelExpiresOn,
		FilledOn: q.FilledOn, AssayedOn: q.AssayedOn, OpenedOn: q.OpenedOn,
	}
}

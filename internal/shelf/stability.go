package shelf

import (
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/problem"
)

func capMonths(l Limit) *int      { return l.CapMonths }
func fallbackMonths(l Limit) *int { return l.FallbackMonths }
func openedDays(l Limit) *int     { return l.OpenedDays }

// least gives the smallest figure of its kind among the components, and all components that have it, as they are listed.
func (t Terms) least(pick func(Limit) *int) (int, []string) {
	var smallest int
	var who []string
	for _, component := range t.Components {
		n := pick(t.Limits[component])
		switch {
		case n == nil || slices.Contains(who, component):
		case who == nil || *n < smallest:
			smallest, who = *n, []string{component}
		case *n == smallest:
			who = append(who, component)
		}
	}
	return smallest, who
}

// without lists the components that have no figure of a kind.
func (t Terms) without(pick func(Limit) *int) []string {
	var missing []string
	for _, component := range t.Components {
		if pick(t.Limits[component]) == nil && !slices.Contains(missing, component) {
			missing = append(missing, component)
		}
	}
	return missing
}

// undated says why no date can be given, or "" when one can.
func (t Terms) undated() string {
	switch missing := t.without(fallbackMonths); {
	case t.supplier() != "":
		return ""
	case t.start() == "":
		return "no supplier's date, and no fill or assay date"
	case len(t.Components) == 0:
		return "no supplier's date, and no component is known"
	case len(missing) > 0:
		return "no supplier's date, and no fallback for " + list(missing)
	}
	return ""
}

func (t Terms) findings() []problem.Finding {
	var found []problem.Finding
	add := func(severity problem.Severity, subject, text, advice string) {
		found = append(found, problem.Finding{Rule: "R7", Severity: severity, Subject: subject, Text: text, Advice: advice})
	}
	if c, l := t.CertificateExpiresOn, t.LabelExpiresOn; c != "" && l != "" && c != l {
		add(problem.Ask, "supplier's expiry", fmt.Sprintf("the certificate says %s, the label says %s", c.Words(), l.Words()),
			fmt.Sprintf("compare both with the cylinder in hand; the earlier, %s, counts", t.supplier().Words()))
	}
	if reason := t.undated(); reason != "" {
		add(problem.Note, "use-by", "undated: "+reason, "ask the supplier for the certificate")
		return found
	}
	if t.supplier() == "" {
		add(problem.Note, "use-by", "there is no supplier's date: bump tests only, never calibration", "ask the supplier for the certificate")
		return found
	}
	if missing := t.without(capMonths); len(missing) > 0 {
		add(problem.Note, list(missing), "no cap known for "+list(missing)+": the supplier's date governs", "set a cap for the component if the site has one")
	}
	if _, capped := t.least(capMonths); t.start() == "" && (capped != nil || t.StoreCapMonths != nil) {
		add(problem.Note, "use-by", "there is no fill or assay date: the site's caps do not count", "enter the date on the certificate or the label")
	}
	return found
}

func list(names []string) string {
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return strings.Join(names, "")
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

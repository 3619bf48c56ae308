package fit

import "spanroom/internal/problem"

// connected notes once that gas on a monitor which reports to somebody far away raises a real call-out (rule R56).
func connected(found []problem.Finding, m []Instruments) []problem.Finding {
	var serials []string
	model := ""
	for i := range m {
		if !m[i].Connected {
			continue
		}
		if serials = append(serials, m[i].Serials...); model == "" {
			model = m[i].Model
		} else if model != m[i].Model {
			model = "connected monitors"
		}
	}
	if serials == nil {
		return found
	}
	return append(found, problem.Finding{
		Rule: "R56", Severity: problem.Note, Subject: instrumentsNamed(serials, model),
		Text:   "these report their alarms: the gas raises a real call-out",
		Advice: "switch to test mode, or tell the control room, before and after",
	})
}

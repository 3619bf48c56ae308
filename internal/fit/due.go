package fit

import (
	"fmt"

	"spanroom/internal/problem"
)

// upkeepFaults stops a part that is out of service, and asks about one whose check is due before the test is over (rule R25).
func (u Upkeep) upkeepFaults(t Test, subject, name string) []fault {
	if u.OutOfService {
		return []fault{{"", problem.Finding{
			Rule: "R27", Severity: problem.Stop, Subject: subject, Text: name + " is out of service", Advice: "take another one, or have it put back into service first",
		}}}
	}
	var found []fault
	if u.DueOn != "" && u.DueOn < t.Until {
		found = append(found, dueFault(subject, fmt.Sprintf("the check of %s is due on %s, the test is planned until %s", name, u.DueOn.Words(), t.Until.Words())))
	}
	if u.DueAfterUses > 0 && u.Uses >= u.DueAfterUses {
		found = append(found, dueFault(subject, fmt.Sprintf("%s has been used %d times, its check is due after %d", name, u.Uses, u.DueAfterUses)))
	}
	return found
}

// instrumentFaults says the same of the instruments, whose filters have dates.
func instrumentFaults(t Test, m []Instruments) []fault {
	var found []fault
	for i := range m {
		of := m[i].subject("")
		name := of
		if len(m[i].Serials) > 1 {
			name = "each of " + of
		}
		found = append(found, Upkeep{OutOfService: m[i].OutOfService}.upkeepFaults(t, of, name)...)
		if due := m[i].FilterDue; due != "" && due < t.Until {
			found = append(found, dueFault(of, fmt.Sprintf("a filter of %s is due on %s, the test is planned until %s", of, due.Words(), t.Until.Words())))
		}
	}
	return found
}

func dueFault(subject, text string) fault {
	return fault{"", problem.Finding{Rule: "R25", Severity: problem.Ask, Subject: subject, Text: text, Advice: "have it done before the test, or say why it can wait"}}
}

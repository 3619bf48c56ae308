package stock

import (
	"fmt"
	"strings"

	"spanroom/internal/auth"
)

// holds gives what looking at the cylinder leads to (R5g). Nobody goes on handling one that may leak; that the seal of an opened
// one is broken is nothing new.
func (c ReceiveChecks) holds(opened bool) []plannedHold {
	var faults []string
	for _, check := range []struct {
		failed bool
		text   string
	}{
		{no(c.Cap), "cap missing or damaged"}, {no(c.Seal) && !opened, "seal broken"}, {c.Dents, "dents"}, {c.Rust, "rust"}, {no(c.Label), "label not legible"},
	} {
		if check.failed {
			faults = append(faults, check.text)
		}
	}
	var holds []plannedHold
	if c.Leaking {
		holds = append(holds, plannedHold{"R5g", LeakSuspected, leakCaution})
	}
	if len(faults) > 0 {
		holds = append(holds, plannedHold{"R5g", Damaged, strings.Join(faults, ", ")})
	}
	return holds
}

func no(inOrder *bool) bool { return inOrder != nil && !*inOrder }

// advice says what a hold means and who ends it.
func (h plannedHold) advice() string {
	var may []string
	for _, role := range auth.MayRelease(h.reason) {
		may = append(may, string(role))
	}
	return fmt.Sprintf("on hold: %s; to be released by: %s", h.reason, strings.Join(may, ", "))
}

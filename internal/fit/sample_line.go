package fit

import (
	"fmt"
	"math"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// lineFaults says how gas is brought through the line used at work (rule R24b).
func lineFaults(t Test, x *Tubing, p Policy) []fault {
	if t.Purpose != Line {
		return nil
	}
	subject, wait := "sample line", fmt.Sprintf("%s s for each metre of the line", figure(p.LineWaitSPerM))
	if x != nil && x.Length > 0 {
		subject = x.subject()
		wait = fmt.Sprintf("%s m × %s s/m = %d s", figure(x.Length.Metres()), figure(p.LineWaitSPerM), lineWait(x.Length, p))
	}
	return []fault{{"", problem.Finding{
		Rule: "R24b", Severity: problem.Note, Subject: subject,
		Text:   "bump through the line used at work; block its inlet, and the pump alarm must sound; wait the manual's time, or where it gives none " + wait,
		Advice: "on a new vapour or a new line, check first with the substance itself where that can be done",
	}}}
}

// lineWait is the time that gas needs through a line, in whole seconds upwards.
func lineWait(length unit.Length, p Policy) unit.Seconds {
	return unit.Seconds(math.Ceil(length.Metres() * p.LineWaitSPerM * (1 - slack)))
}

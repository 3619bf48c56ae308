package auth

import (
	"fmt"
	"slices"

	"spanroom/internal/problem"
)

// Deed is something that may be done, in words that follow "may not".
type Deed string

// The deeds. Recommending, calculating and downloading the plan change nothing and are reading.
const (
	Read            Deed = "read"
	Receive         Deed = "receive a delivery"
	FileCertificate Deed = "file a certificate"
	Move            Deed = "shelve or move a cylinder"
	PrintLabel      Deed = "print a label again"
	TakeReading     Deed = "record a reading"
	Hold            Deed = "place a hold"
	Release         Deed = "release a hold"
	Take            Deed = "check out a cylinder"
	Return          Deed = "return a cylinder"
	LogTests        Deed = "log tests"
	Issue           Deed = "issue consumables"
	Count           Deed = "count"
	FinishTask      Deed = "finish a task"
	Correct         Deed = "correct an entry"
	Recall          Deed = "recall a lot"
	Override        Deed = "override a rule"
	Order           Deed = "order"
	EditSources     Deed = "edit suppliers and items"
	EditEquipment   Deed = "edit regulators, tubings and caps"
	EditGases       Deed = "edit components and blends"
	EditTesting     Deed = "edit procedures, models, instruments and rounds"
	EditPlaces      Deed = "edit places"
	EditSettings    Deed = "edit settings"
	ManagePeople    Deed = "manage people"
)

// deeds says who may do what besides the supervisor, who may do all of it. What is in a gas, how instruments are tested, where
// things may stand and which rule may be passed is the supervisor's alone; whoever buys or takes in a thing enters what its
// label and papers say of it, and each such change is a version with a name to it.
var deeds = map[Deed][]Role{
	Read:            {Clerk, Technician, Purchaser, Viewer},
	Receive:         {Clerk},
	FileCertificate: {Clerk, Purchaser}, // the purchaser chases the missing ones
	Move:            {Clerk},
	PrintLabel:      {Clerk},
	TakeReading:     {Clerk, Technician},
	Hold:            {Clerk, Technician, Purchaser}, // stopping is one tap; only a viewer changes nothing
	Release:         {Clerk, Purchaser},             // each for the reasons in releases
	Take:            {Clerk, Technician},            // a clerk hands out
	Return:          {Clerk, Technician},
	LogTests:        {Technician},
	Issue:           {Clerk, Technician},
	Count:           {Clerk},
	FinishTask:      {Clerk, Technician, Purchaser}, // each those of their role
	Correct:         {Clerk},
	Recall:          {},
	Override:        {},
	Order:           {Purchaser},
	EditSources:     {Purchaser},
	EditEquipment:   {Clerk}, // it comes and goes over the clerk's desk
	EditGases:       {},
	EditTesting:     {},
	EditPlaces:      {},
	EditSettings:    {},
	ManagePeople:    {},
}

// releases says who may release a hold of which reason besides the supervisor (R35). A reason that is not here is the
// supervisor's alone: leak suspected, doubtful gas and recall by the rule; damaged/doubtful because it judges whether a
// pressure vessel is safe; management because it was placed from above.
var releases = map[string][]Role{
	"Certificate missing": {Clerk},     // with the document
	"Undated":             {Clerk},     // likewise settled by a document
	"Short-dated":         {Purchaser}, // accept, credit or return
	"Low on arrival":      {Purchaser}, // accepting it gives up the claim on the supplier
	"Count dispute":       {Purchaser}, // whoever counted does not settle it; over-delivery is accepted by the one who pays
}

// Can tells whether a role may do a deed. Nobody may do a deed that is not in the table.
func Can(r Role, d Deed) bool {
	others, known := deeds[d]
	return known && (r == Supervisor || slices.Contains(others, r))
}

// Who names those who may do a deed, as people say them.
func Who(d Deed) string { return list(append(slices.Clone(deeds[d]), Supervisor)) }

// MayRelease lists who may release a hold of this reason, the supervisor last.
func MayRelease(reason string) []Role {
	return append(slices.Clone(releases[reason]), Supervisor)
}

// Check refuses a deed that is not for the person's role, and says whose it is.
func (p Person) Check(d Deed) error {
	if Can(p.Role, d) {
		return nil
	}
	return notFor(p.Role, string(d), Who(d))
}

// CheckRelease refuses to let the person release a hold of this reason when it is for others to release.
func (p Person) CheckRelease(reason string) error {
	may := MayRelease(reason)
	if slices.Contains(may, p.Role) {
		return nil
	}
	return notFor(p.Role, fmt.Sprintf("release a hold for %q", reason), list(may))
}

func notFor(r Role, deed, may string) error {
	return problem.New(problem.Forbidden, fmt.Sprintf("a %s may not %s", r, deed), "ask "+may)
}

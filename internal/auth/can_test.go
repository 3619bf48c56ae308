package auth

import (
	"slices"
	"strings"
	"testing"

	"spanroom/internal/problem"
)

// may has a column a role, in the order clerk, technician, purchaser, supervisor, viewer.
var may = map[Deed]string{
	Read:            "yes yes yes yes yes",
	Receive:         "yes no  no  yes no",
	FileCertificate: "yes no  yes yes no",
	Move:            "yes no  no  yes no",
	PrintLabel:      "yes no  no  yes no",
	TakeReading:     "yes yes no  yes no",
	Hold:            "yes yes yes yes no",
	Release:         "yes no  yes yes no",
	Take:            "yes yes no  yes no",
	Return:          "yes yes no  yes no",
	LogTests:        "no  yes no  yes no",
	Issue:           "yes yes no  yes no",
	Count:           "yes no  no  yes no",
	FinishTask:      "yes yes yes yes no",
	Correct:         "yes no  no  yes no",
	Recall:          "no  no  no  yes no",
	Override:        "no  no  no  yes no",
	Order:           "no  no  yes yes no",
	EditSources:     "no  no  yes yes no",
	EditEquipment:   "yes no  no  yes no",
	EditGases:       "no  no  no  yes no",
	EditTesting:     "no  no  no  yes no",
	EditPlaces:      "no  no  no  yes no",
	EditSettings:    "no  no  no  yes no",
	ManagePeople:    "no  no  no  yes no",
}

func TestCanEveryDeedByEveryRole(t *testing.T) {
	if len(may) != len(deeds) {
		t.Fatalf("this table has %d deeds, the program %d", len(may), len(deeds))
	}
	for deed, row := range may {
		for i, answer := range strings.Fields(row) {
			role, want := Roles()[i], answer == "yes"
			if Can(role, deed) != want {
				t.Errorf("a %s may %s: %v, want %v", role, deed, !want, want)
			}
			if err := (Person{Role: role}).Check(deed); (err == nil) != want {
				t.Errorf("check of %q for a %s: %v", deed, role, err)
			}
		}
	}
}

func TestNobodyMayAnUnknownDeed(t *testing.T) {
	for _, role := range append(Roles(), "", "root") {
		if Can(role, "fly") || role != Supervisor && Can(role, ManagePeople) {
			t.Errorf("%q may what is not given to it", role)
		}
	}
	if Can("root", Read) {
		t.Error("an unknown role may read")
	}
}

func TestWhoReleasesWhichHold(t *testing.T) {
	tests := map[string][]Role{
		"Certificate missing": {Clerk, Supervisor},
		"Short-dated":         {Purchaser, Supervisor},
		"Low on arrival":      {Purchaser, Supervisor},
		"Damaged/doubtful":    {Supervisor},
		"Leak suspected":      {Supervisor},
		"Undated":             {Clerk, Supervisor},
		"Recall":              {Supervisor},
		"Doubtful gas":        {Supervisor},
		"Count dispute":       {Purchaser, Supervisor},
		"Management":          {Supervisor},
		"something else":      {Supervisor},
	}
	for reason, want := range tests {
		if got := MayRelease(reason); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", reason, got, want)
		}
		for _, role := range Roles() {
			if err := (Person{Role: role}).CheckRelease(reason); (err == nil) != slices.Contains(want, role) {
				t.Errorf("a %s releases %s: %v", role, reason, err)
			}
		}
	}
}

// The route lets through whoever may release anything; the reason decides then.
func TestReleaseAgreesWithItsReasons(t *testing.T) {
	for _, role := range Roles() {
		some := role == Supervisor
		for reason := range releases {
			some = some || slices.Contains(MayRelease(reason), role)
		}
		if Can(role, Release) != some {
			t.Errorf("a %s may release: %v, but by the reasons %v", role, !some, some)
		}
	}
}

func TestMayReleaseGivesItsOwnList(t *testing.T) {
	MayRelease("Short-dated")[0] = Viewer
	if MayRelease("Short-dated")[0] != Purchaser {
		t.Error("a caller can change the table")
	}
}

func TestRefusalSaysWhoMay(t *testing.T) {
	technician := Person{Name: "Ada", Role: Technician}
	tests := []struct {
		err            error
		detail, advice string
	}{
		{technician.Check(FileCertificate), "a technician may not file a certificate", "ask a clerk, a purchaser or a supervisor"},
		{technician.Check(EditSettings), "a technician may not edit settings", "ask a supervisor"},
		{technician.CheckRelease("Leak suspected"), `a technician may not release a hold for "Leak suspected"`, "ask a supervisor"},
		{technician.CheckRelease("Undated"), `a technician may not release a hold for "Undated"`, "ask a clerk or a supervisor"},
	}
	for _, tt := range tests {
		p, ok := tt.err.(*problem.Error)
		if !ok || p.Kind != problem.Forbidden || p.Detail != tt.detail || p.Advice != tt.advice {
			t.Errorf("got %+v, want %q, %q", tt.err, tt.detail, tt.advice)
		}
	}
}

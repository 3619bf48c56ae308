package fit

import (
	"testing"

	"spanroom/internal/problem"
)

func TestNobodyNamedAnything(t *testing.T) {
	none(t, fittings(Test{Purpose: Calibration, Flow: 300}, bottle("CGA 600", 0), Set{}, []Instruments{oneFigure}, figures))
}

func TestChecksThatAreDue(t *testing.T) {
	test := Test{Until: "2027-03-05"}
	for name, c := range map[string]struct {
		u    Upkeep
		says string
	}{
		"nothing is set":        {Upkeep{Uses: 900}, ""},
		"due after the test":    {Upkeep{DueOn: "2027-03-06"}, ""},
		"due on the last day":   {Upkeep{DueOn: "2027-03-05"}, ""},
		"due before":            {Upkeep{DueOn: "2027-03-04"}, "the check of regulator R-05 is due on 4 Mar 2027, the test is planned until 5 Mar 2027"},
		"uses are left":         {Upkeep{Uses: 49, DueAfterUses: 50}, ""},
		"uses are reached":      {Upkeep{Uses: 50, DueAfterUses: 50}, "regulator R-05 has been used 50 times, its check is due after 50"},
		"date before, uses not": {Upkeep{DueOn: "2026-12-31", Uses: 1, DueAfterUses: 50}, "31 Dec 2026"},
	} {
		found := c.u.upkeepFaults(test, "R-05", "regulator R-05")
		if c.says == "" {
			none(t, found)
			continue
		}
		t.Run(name, func(t *testing.T) { oneFault(t, found, "", "R25", problem.Ask, c.says) })
	}
	if both := (Upkeep{DueOn: "2027-01-01", Uses: 7, DueAfterUses: 5}).upkeepFaults(test, "R-05", "R-05"); len(both) != 2 {
		t.Errorf("due both ways: %+v", both)
	}
	none(t, Upkeep{DueOn: "2020-01-01"}.upkeepFaults(Test{}, "R-05", "R-05"))
	oneFault(t, Upkeep{OutOfService: true, DueOn: "2020-01-01"}.upkeepFaults(test, "R-05", "regulator R-05"), "", "R27", problem.Stop, "R-05 is out of service")
}

// Regulator, tubing, cap and filters are looked at alike.
func TestEveryPartIsLookedAfter(t *testing.T) {
	old := Upkeep{DueOn: "2027-03-01"}
	set := Set{
		Regulator: &Regulator{Code: "R-05", Inlet: "CGA C-10", MaxBar: 103, Flow: 400, Body: "stainless", Upkeep: old},
		Tubing:    &Tubing{Code: "T-02", Material: "PTFE", Length: 600, Upkeep: old}, Cap: &Cap{Code: "C-1", Upkeep: old},
	}
	m := []Instruments{oneFigure}
	m[0].Serials, m[0].FilterDue = []string{"D-043", "D-044"}, "2027-03-01"
	b := bottle("CGA C-10", 69)
	var subjects string
	for _, f := range Fittings(Test{Purpose: Bump, Until: "2027-03-05"}, b, set, m, figures) {
		if f.Rule != "R25" || f.Severity != problem.Ask || f.Advice == "" {
			t.Errorf("got %+v", f)
		}
		subjects += f.Subject + "; "
	}
	if subjects != "R-05; T-02; C-1; D-043, D-044; " {
		t.Errorf("told are %s", subjects)
	}
}

func TestInstrumentOutOfService(t *testing.T) {
	m := []Instruments{oneFigure}
	m[0].Serials, m[0].OutOfService = []string{"D-043", "D-044"}, true
	oneFault(t, instrumentFaults(Test{}, m), "", "R27", problem.Stop, "each of D-043, D-044 is out of service")
}

func TestCapForAnotherModel(t *testing.T) {
	c := &Cap{Code: "C-1", Models: []string{"DIFF-4", "DIFF-5"}}
	none(t, capFaults(Test{}, c, []Instruments{oneFigure, unsampled}))
	none(t, capFaults(Test{}, &Cap{Code: "C-9"}, []Instruments{pumped}))
	none(t, capFaults(Test{}, nil, []Instruments{pumped}))
	oneFault(t, capFaults(Test{}, c, []Instruments{pumped, oneFigure, pumped}), "", "R23", problem.Ask, "cap C-1 is for DIFF-4 or DIFF-5, not for PUMP-4")
}

func TestSampleLine(t *testing.T) {
	none(t, lineFaults(Test{Purpose: Bump}, &Tubing{Length: 5000}, figures))
	oneFault(t, lineFaults(Test{Purpose: Line}, nil, figures), "", "R24b", problem.Note, "block its inlet", "3 s for each metre of the line", "the substance itself")
	oneFault(t, lineFaults(Test{Purpose: Line}, &Tubing{Code: "T-30", Length: 30_000}, figures), "", "R24b", problem.Note, "30 m × 3 s/m = 90 s")
	oneFault(t, lineFaults(Test{Purpose: Line}, &Tubing{Code: "T-30", Length: 1100}, figures), "", "R24b", problem.Note, "1.1 m × 3 s/m = 4 s")
	oneFault(t, lineFaults(Test{Purpose: Line}, &Tubing{Code: "T-30", Length: 70}, Policy{LineWaitSPerM: 100}), "", "R24b", problem.Note, "= 7 s")
}

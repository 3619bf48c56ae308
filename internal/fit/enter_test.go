package fit

import (
	"testing"

	"spanroom/internal/problem"
)

func TestTheGasIsEnteredWhereTheModelAllowsIt(t *testing.T) {
	weak := inNitrogen(part("H2S", amount(23.2, ppm), amount(0.5, ppm)))
	may, mayNot := monitors4().channel("H2S", func(*Channel) {}), monitors4()
	may.MaySet, mayNot.MaySet = true, false
	entering := Test{Purpose: Calibration, Entering: true}
	for name, c := range map[string]struct {
		test Test
		of   Instruments
		want problem.Severity
	}{
		"as it is set":                {Test{Purpose: Calibration}, may, problem.Stop},
		"entered":                     {entering, may, problem.Ask},
		"the model does not allow it": {entering, mayNot, problem.Stop},
	} {
		if got := worstOf("R17", Match(c.test, weak, []Instruments{c.of}, site)); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
	entries := Entries(weak, []Instruments{may, mayNot}, site)
	if len(entries) != 1 || entries[0].Component != "H2S" || entries[0].Set != given(amount(23.2, ppm)) || len(entries[0].Serials) != len(may.Serials) {
		t.Fatalf("%+v", entries)
	}
	may = may.channel("H2S", func(ch *Channel) { ch.Set = entries[0].Set })
	if got := worstOf("R17", Match(Test{Purpose: Calibration}, weak, []Instruments{may}, site)); got == problem.Stop {
		t.Error("what was entered still does not match")
	}
	if again := Entries(weak, []Instruments{may}, site); again != nil {
		t.Errorf("it is entered twice: %+v", again)
	}
	if none := Entries(inNitrogen(part("H2S", 0, 0)), []Instruments{may}, site); none != nil {
		t.Errorf("nothing is entered: %+v", none)
	}
}

func TestNothingBeyondTheScaleIsEntered(t *testing.T) {
	m := monitors4().channel("CH4", func(c *Channel) { c.Range = Level{} })
	m.MaySet = true
	for percent, want := range map[float64]int{60: 1, 100: 1, 101: 0} {
		if got := Entries(fourGas().with(part("CH4", amount(percent*0.05, vol), 0)), []Instruments{m}, site); len(got) != want {
			t.Errorf("%v %%LEL: %+v", percent, got)
		}
	}
}

func worstOf(rule string, found []problem.Finding) problem.Severity {
	var of []problem.Finding
	for _, f := range found {
		if f.Rule == rule && f.Severity != problem.Note {
			of = append(of, f)
		}
	}
	return problem.Worst(of)
}

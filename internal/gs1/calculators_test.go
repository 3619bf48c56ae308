package gs1

import (
	"strings"
	"testing"

	"spanroom/internal/problem"
)

func TestScanAnswers(t *testing.T) {
	a, err := CalcScan(ScanQuestion{"scan", "]d2010952123454321310LOT17271231"})
	if err != nil || !a.Conforms || a.Problem != nil || len(a.Elements) != 2 || Bracketed(a.Split) != "(01)09521234543213(10)LOT(17)271231" || problem.Worst(a.Findings) != problem.Ask {
		t.Errorf("a dropped separator: %+v, %v", a, err)
	}
	a, err = CalcScan(ScanQuestion{"bracketed", "(10)LOT7(17)271231"})
	if err != nil || a.Conforms || a.Problem == nil || *a.Problem != Requisite || len(a.Elements) != 2 || a.Split == nil || problem.Worst(a.Findings) != problem.Note {
		t.Errorf("without an item: %+v, %v", a, err)
	}
	a, err = CalcScan(ScanQuestion{"bracketed", "(01)09521234543213(17)271345"})
	if err != nil || a.Conforms || a.Elements == nil || len(a.Elements) != 0 || problem.Worst(a.Findings) != problem.Stop {
		t.Errorf("a wrong date: %+v, %v", a, err)
	}
}

func TestQuestionsThatCannotBeAnswered(t *testing.T) {
	_, scanErr := CalcScan(ScanQuestion{"morse", strings.Repeat("9", LongestText+1)})
	_, dateErr := CalcValues(ValuesQuestion{Kind: "date", AI: "10", Value: "271231", CurrentYear: 26})
	_, weightErr := CalcValues(ValuesQuestion{Kind: "weight", AI: "3106", Value: "000125"})
	_, kindErr := CalcValues(ValuesQuestion{Kind: "colour"})
	for fields, err := range map[string]error{"syntax text": scanErr, "ai current_year": dateErr, "ai": weightErr, "kind": kindErr} {
		if problem.KindOf(err) != problem.Invalid {
			t.Errorf("%s: %v", fields, err)
			continue
		}
		for field := range strings.FieldsSeq(fields) {
			if !strings.Contains(err.Error(), field+": ") {
				t.Errorf("%v does not name %s", err, field)
			}
		}
	}
}

func TestValuesThatAreRefused(t *testing.T) {
	for _, q := range []ValuesQuestion{
		{Kind: "date", AI: "17", Value: "271345", CurrentYear: 2026}, {Kind: "date", AI: "17", Value: "270431", CurrentYear: 2026}, {Kind: "date", AI: "17", Value: "", CurrentYear: 2026},
		{Kind: "date", AI: "17", Value: "2712311", CurrentYear: 2026}, {Kind: "date", AI: "17", Value: "27123X", CurrentYear: 2026}, {Kind: "date", AI: "17", Value: "000229", CurrentYear: 2060},
		{Kind: "weight", AI: "3102", Value: "125"}, {Kind: "weight", AI: "3102", Value: "-00125"},
	} {
		a, err := CalcValues(q)
		if err != nil || !a.Refused || a.Reason == "" || a.Advice == "" || a.Date != nil || a.Kg != nil || a.Valid != nil {
			t.Errorf("%+v: %+v, %v", q, a, err)
		}
	}
}

func TestDecimals(t *testing.T) {
	for _, c := range []struct {
		digits string
		places int
		want   string
	}{
		{"000125", 0, "125.0"}, {"000125", 1, "12.5"}, {"125000", 5, "1.25"}, {"000125", 5, "0.00125"}, {"000000", 3, "0.0"}, {"100000", 0, "100000.0"}, {"001200", 3, "1.2"},
	} {
		if got := decimal(c.digits, c.places); got != c.want {
			t.Errorf("%s with %d places: got %s", c.digits, c.places, got)
		}
	}
}

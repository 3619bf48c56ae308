package demo

import (
	"slices"
	"strings"
	"testing"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/stock"
)

// recommend asks as technician A does.
func (l lived) recommend(o stock.TakeOrder) stock.Recommendation {
	l.Helper()
	answer, err := l.stock().Recommend(l.Context(), auth.Person{Name: technicianA, Role: auth.Technician}, o)
	if err != nil {
		l.Fatalf("%+v: %v", o, err)
	}
	return answer
}

// against writes findings as rule and severity, the worst first.
func against(findings []problem.Finding) string {
	var words []string
	for _, f := range findings {
		words = append(words, f.Rule+" "+string(f.Severity))
	}
	return strings.Join(words, ", ")
}

// takesWithAFullKit walks every round as it is begun today: each gets one pick with the set that suits, and what is said about
// it is what is to be said.
func (l lived) takesWithAFullKit() {
	l.Helper()
	for _, c := range []struct {
		order               stock.TakeOrder
		lot, compared, said string
		kit                 string
	}{
		{stock.TakeOrder{Round: roundStoke}, "7K-2206", "41 of DIFF-4", "", "R-03 T-05 CAP-D2"},
		{stock.TakeOrder{Round: roundPumped}, "7K-2206", "11 of PUMP-4, 1 of PUMP-4-45", "", "R-02 T-08 "},
		{stock.TakeOrder{Round: roundNewer, Purpose: stock.Bump}, "7K-2206", "2 of DIFF-4-44", "", "R-03 T-05 CAP-D2"},
		{stock.TakeOrder{Round: "ashbeck"}, "7F-4702", "6 of CHLOR-1", "", "R-04 T-02 CAP-C"},
		{stock.TakeOrder{Round: "coldholm"}, "FN-1377", "4 of AMMON-1", "R28 ask, R16 note", "R-05 T-03 CAP-N"},
		{stock.TakeOrder{Round: "coldholm", Purpose: stock.Bump}, "FN-1402", "4 of AMMON-1", "", "R-05 T-03 CAP-N"},
		{stock.TakeOrder{Item: zeroAir, Purpose: stock.Zero, Instruments: pumped[:2]}, "Z-0502", "2 of PUMP-4", "", "R-07 T-06 "},
	} {
		what := c.order.Round + string(c.order.Purpose)
		pick := l.recommend(c.order).Pick
		if pick == nil {
			l.Errorf("%s: nothing to take", what)
			continue
		}
		kit := named(pick.Kit.Regulator) + " " + named(pick.Kit.Tubing) + " " + named(pick.Kit.Cap)
		if pick.Lot != c.lot || !strings.HasSuffix(pick.Compared, c.compared) || against(pick.Findings) != c.said || kit != c.kit || pick.Kit.Missing != "" {
			l.Errorf("%s: %s with %s, %s; %s; missing %q", what, pick.Lot, kit, pick.Compared, against(pick.Findings), pick.Kit.Missing)
		}
	}
}

// stopsWhatIsWrong takes by hand what must not be taken, and reads why.
func (l lived) stopsWhatIsWrong() {
	l.Helper()
	newer := l.recommend(stock.TakeOrder{Round: roundNewer, Purpose: stock.Calibration})
	if newer.Pick != nil || newer.PassedOverCount["R19"] < 9 {
		l.Errorf("the newer monitors are calibrated with %+v; %v", newer.Pick, newer.PassedOverCount)
	}
	ammonia := l.recommend(stock.TakeOrder{Round: "coldholm"})
	if ammonia.PassedOverCount["R51"] != 1 {
		l.Errorf("of ammonia %v is passed over", ammonia.PassedOverCount)
	}
	stokeCal := stock.TakeOrder{Round: roundStoke, Purpose: stock.Calibration}
	for _, c := range []struct {
		what, lot string
		order     stock.CheckOutOrder
		rule, say string
	}{
		{"brass on H2S", "7K-2206", stock.CheckOutOrder{TakeOrder: stokeCal, Regulator: "R-09"}, "R24", "the body of regulator R-09 is brass, which is not for H2S"},
		{"a rating of 500 psi", "7K-2206", stock.CheckOutOrder{TakeOrder: stokeCal, Regulator: weak}, "R22", ""},
		{"three times the flow", "7K-2206", stock.CheckOutOrder{TakeOrder: stokeCal, Regulator: "R-08"}, "R23", "would then read low"},
		{"no tee on a pump", "7K-2206", stock.CheckOutOrder{TakeOrder: stock.TakeOrder{Instruments: []string{"P-012"}, Item: fourGas, Purpose: stock.Calibration}, Regulator: "R-08"}, "R23", "no open tee"},
		{"the ammonia set on chlorine", "7F-4702", stock.CheckOutOrder{TakeOrder: stock.TakeOrder{Round: "ashbeck"}, Regulator: "R-05"}, "R24", "fits, but was last used on NH3"},
		{"the outlet of zero air", "Z-0502", stock.CheckOutOrder{TakeOrder: stock.TakeOrder{Instruments: pumped[:1], Item: zeroAir, Purpose: stock.Zero}, Regulator: "R-02"}, "R21", ""},
		{"a lot weak in H2S", weakLot, stock.CheckOutOrder{TakeOrder: stokeCal}, "R17", "H2S 23.2 ppm vs 25 ppm set (-7.2 %), 5 % allowed: it would then read about 8 % high"},
		{"the spare set to that lot", "7K-2206", stock.CheckOutOrder{TakeOrder: stock.TakeOrder{Instruments: []string{spare}, Item: fourGas, Purpose: stock.Calibration}}, "R17", "vs 23.2 ppm set"},
	} {
		c.order.Cylinder = l.standing(c.lot)
		pick, err := l.stock().Consider(l.Context(), auth.Person{Name: technicianA, Role: auth.Technician}, c.order)
		if err != nil {
			l.Errorf("%s: %v", c.what, err)
			continue
		}
		if !stops(pick.Findings, c.rule, c.say) {
			l.Errorf("%s: %+v", c.what, pick.Findings)
		}
	}
}

// stops tells whether a rule stops with these words.
func stops(findings []problem.Finding, rule, words string) bool {
	for _, f := range findings {
		if f.Rule == rule && f.Severity == problem.Stop && strings.Contains(f.Text, words) {
			return true
		}
	}
	return false
}

// standing gives a cylinder of a lot that stands somewhere.
func (l lived) standing(lot string) string {
	l.Helper()
	list, err := l.stock().Cylinders(l.Context(), stock.CylindersQuestion{Text: lot})
	if err != nil {
		l.Fatal(err)
	}
	for _, c := range list.Rows {
		if c.Place != "" && c.Item != ammonia {
			return string(c.Tag)
		}
	}
	l.Fatalf("no cylinder of %s stands anywhere", lot)
	return ""
}

// knowsItsFleet reads the lists that the check leaves: what is due, what was passed on which reason, and where the sets are.
func (l lived) knowsItsFleet() {
	l.Helper()
	due, err := l.stock().Due(l.Context(), stock.DueQuestion{})
	if err != nil || due.Monitors.Never != len(newer) || due.Monitors.Failed != 1 || due.Monitors.Overdue != 6 || due.Monitors.Due != len(chlorineFleet) || due.Monitors.OK < 40 || due.Monitors.OutOfService != 1 {
		l.Errorf("%+v, %v", due.Monitors, err)
	}
	today := due.On
	reasons, err := l.stock().Reasons(l.Context(), stock.ReasonsQuestion{From: today.AddDays(-366), Until: today})
	if err != nil {
		l.Fatal(err)
	}
	for rule, want := range map[string]int{"R16": 3, "R17": 1, "R20": 1, "R28": 4, "R32": 1} {
		if reasons.CountsByRule[rule] != want {
			l.Errorf("%s was passed %d times, not %d", rule, reasons.CountsByRule[rule], want)
		}
	}
	if *reasons.AsksPerTen >= 1 {
		l.Errorf("%g asks per ten check-outs", *reasons.AsksPerTen)
	}
	l.knowsItsSets()
	l.sawTheWeakLot()
}

func (l lived) knowsItsSets() {
	l.Helper()
	list, err := l.stock().Equipment(l.Context(), stock.EquipmentQuestion{})
	if err != nil {
		l.Fatal(err)
	}
	states := map[string]string{}
	for _, e := range list.Rows {
		states[e.Code] = e.State
	}
	for code, want := range map[string]string{
		"R-01": "out", "R-02": "here", weak: "on hold", "R-07": "left on", "R-09": "due", "R-10": "out", "T-06": "left on", "CAP-D": "out", "CAP-D2": "here",
	} {
		if states[code] != want {
			l.Errorf("%s is %q, not %q", code, states[code], want)
		}
	}
}

// sawTheWeakLot checks that goods-in holds the lot against the fleet, of which the spare alone is set to it by now.
func (l lived) sawTheWeakLot() {
	l.Helper()
	list, err := l.stock().Receipts(l.Context(), 0, 100)
	if err != nil {
		l.Fatal(err)
	}
	at := slices.IndexFunc(list.Rows, func(r stock.ReceiptRow) bool { return r.Lot == weakLot })
	receipt, err := l.stock().Receipt(l.Context(), list.Rows[at].Receipt)
	if err != nil || receipt.Fleet.Meets != 1 || receipt.Fleet.Refused != 55 || !strings.Contains(receipt.Fleet.Why[0], "H2S 23.2 ppm would be refused") {
		l.Errorf("%+v, %v", receipt.Fleet, err)
	}
}

// Nobody is away for longer than it takes to come back.
func TestAway(t *testing.T) {
	for _, c := range []struct {
		serial string
		day    int
		here   bool
	}{{broken, brokenSince - 1, true}, {broken, brokenSince, false}, {broken, 0, false}, {"D-011", -13, false}, {"D-011", -6, true}, {"D-001", -13, true}} {
		if got := len(here([]string{c.serial}, c.day)) == 1; got != c.here {
			t.Errorf("%s on day %d: here is %v", c.serial, c.day, got)
		}
	}
	if len(diffusion) != 42 || diffusion[41] != "D-042" {
		t.Error("it takes the list itself apart")
	}
}

package catalogue

import (
	"strings"
	"testing"

	"spanroom/internal/unit"
)

func TestSumOfABlend(t *testing.T) {
	const pct unit.Amount = 10_000_000
	tests := []struct {
		name          string
		total, stated unit.Amount
		balance       string
		subject       string // "" where nothing is against it
	}{
		{"the balance takes the rest", 20 * pct, 0, "N2", ""},
		{"balance alone", 0, 0, "air", ""},
		{"exactly the whole", 100 * pct, 0, "", ""},
		{"a pure gas within the limit", 995 * pct / 10, 0, "", ""},
		{"a pure gas short of the limit", 995*pct/10 - 1, 0, "", "balance"},
		{"nothing at all", 0, 0, "", "balance"},
		{"a ppb over the whole", 100*pct + 1, 0, "N2", "components"},
		{"a stated balance at the limit", 20 * pct, 805 * pct / 10, "N2", ""},
		{"a stated balance over the limit", 20 * pct, 805*pct/10 + 1, "N2", "balance_amount"},
		{"a stated balance under the limit", 20 * pct, 795*pct/10 - 1, "N2", "balance_amount"},
	}
	for _, tt := range tests {
		f := sumFinding(tt.total, tt.stated, tt.balance, 0.5)
		switch {
		case f == nil && tt.subject != "":
			t.Errorf("%s: nothing said", tt.name)
		case f != nil && (f.Subject != tt.subject || f.Rule != "R5d" || f.Advice == ""):
			t.Errorf("%s: %+v", tt.name, f)
		}
	}
}

func TestGasLitresAreCaught(t *testing.T) {
	tests := []struct {
		litres, bar float64
		refillable  bool
		says        string
	}{
		{116, 69, false, "gas litres? 116 L at 69 bar is 1.68 L of water volume"},
		{4.55, 69, false, "gas litres?"},
		{4.54, 69, false, ""},
		{25, 34.5, false, ""},
		{25.1, 34.5, false, "gas litres?"},
		{5, 34.6, false, "gas litres?"},
		{50, 200, true, ""},
		{116, 0, false, ""}, // the pressure is wrong by itself
	}
	for _, tt := range tests {
		f := sizeFinding(unit.VolumeLitres(tt.litres), unit.PressureBar(tt.bar), tt.refillable)
		if got := f != nil; got != (tt.says != "") || got && !strings.Contains(f.Text, tt.says) {
			t.Errorf("%g L at %g bar: %+v", tt.litres, tt.bar, f)
		}
	}
}

package fit

import (
	"slices"
	"testing"
)

func TestSteps(t *testing.T) {
	q4 := Turn{Calibration, fourGas(), 0}
	single := func(component, label string) Turn {
		g := inNitrogen(part(component, 10*ppm, 0))
		g.Label = label
		return Turn{Calibration, g, 0}
	}
	h2, h2s, nh3 := single("H2", "H-1"), single("H2S", "S-1"), single("NH3", "N-1")
	zeroAir := Turn{Zero, Gas{Label: "ZA-1", Balance: "air"}, 0}
	const (
		air  = "zero first, in clean air: no exhaust, no solvent, no silicone near"
		next = "next gas when all channels are back within their zero limit"
		four = "calibrate with Q4-0117 (CH4, O2, CO, H2S)"
	)
	h2s.Gas = h2s.Gas.with(part("O2", 18*vol, 0)) // oxygen does not make it a gas of several
	last := h2
	last.Step = 9
	nitrogen := monitors4()
	nitrogen.NitrogenZero = true
	for _, c := range []struct {
		name  string
		turns []Turn
		m     []Instruments
		want  []string
	}{
		{"nothing", nil, nil, nil},
		{"one gas", []Turn{q4}, []Instruments{monitors4(), nitrogen}, []string{air, four}},
		{"nitrogen by the manual", []Turn{q4}, []Instruments{nitrogen}, []string{air + " (or in nitrogen, as the manual allows)", four}},
		{"a bump alone", []Turn{{Bump, fourGas(), 0}}, nil, []string{"bump with Q4-0117 (CH4, O2, CO, H2S)"}},
		{"the most adsorbing last", []Turn{nh3, h2s, h2, q4}, nil,
			[]string{air, four, "calibrate with H-1 (H2)", "calibrate with S-1 (H2S, O2)", "calibrate with N-1 (NH3)", next}},
		{"zero air comes first", []Turn{h2s, zeroAir}, nil, []string{"zero with ZA-1 (air)", "calibrate with S-1 (H2S, O2)", next}},
		{"the procedure's own order", []Turn{last, nh3}, nil, []string{air, "calibrate with N-1 (NH3)", "calibrate with H-1 (H2)", next}},
	} {
		before := slices.Clone(c.turns)
		if got := Steps(c.turns, c.m); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
		if len(before) > 0 && before[0].Gas.Label != c.turns[0].Gas.Label {
			t.Errorf("%s: the caller's turns are reordered", c.name)
		}
	}
}

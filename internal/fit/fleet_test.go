package fit

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
)

func serials(prefix string, n int) []string {
	list := make([]string, n)
	for i := range list {
		list[i] = fmt.Sprintf("%s-%03d", prefix, i+1)
	}
	return list
}

func TestFleet(t *testing.T) {
	diffusion, pumped, newer, chlorine, unset := monitors4(), monitors4(), monitors4(), monitors4(), monitors4()
	diffusion.Serials, pumped.Serials, pumped.Model = serials("D", 44), serials("P", 12), "PUMP-4"
	newer.Serials = serials("E", 1)
	newer = newer.channel("CH4", func(c *Channel) { c.Scale = methane(44 * vol / 10).Scale })
	newer = newer.channel("H2S", func(c *Channel) { c.Set = given(232 * ppm / 10) })
	chlorine.Serials, chlorine.Channels = serials("C", 6), []Channel{toxic("Cl2", 10*ppm, ppm/2, ppm)}
	unset = unset.channel("CO", func(c *Channel) { c.Set = Level{} })
	unset.Channels = unset.Channels[2:3]
	acid := Instruments{Serials: serials("A", 2), Model: "ACID-2", Channels: []Channel{toxic("SO2", 10*ppm, ppm, 0), toxic("NO2", 10*ppm, ppm, 0)}}
	fleet := []Instruments{diffusion, pumped, newer, chlorine, unset, acid}
	for _, c := range []struct {
		name string
		gas  Gas
		want FleetFit
	}{
		{"as ordered", fourGas(), FleetFit{56, 1, 2, []string{"CH4 2.5 %vol (56.8 %LEL) would be refused on 1 monitor set to 50 %LEL", "H2S 25 ppm would be refused on 1 monitor set to 23.2 ppm"}}},
		{"R5h", fourGas().with(part("H2S", 232*ppm/10, ppm/2)), FleetFit{0, 57, 2, []string{"H2S 23.2 ppm would be refused on 56 monitors set to 25 ppm", "CH4 2.5 %vol (56.8 %LEL) would be refused on 1 monitor set to 50 %LEL"}}},
		{"S93", Gas{Parts: []Part{part("O2", 196*vol/10, 0)}, Balance: "N2"}, FleetFit{0, 0, 0, []string{"O2 19.6 %vol does not prove the low alarm of 19.5 %vol on 57 monitors"}}},
		{"chlorine", inNitrogen(part("Cl2", 10*ppm, 0)), FleetFit{6, 0, 0, nil}},
		{"two gases set alike", inNitrogen(part("SO2", 5*ppm, 0), part("NO2", 5*ppm, 0)),
			FleetFit{0, 2, 0, []string{"SO2 5 ppm would be refused on 2 monitors set to 10 ppm", "NO2 5 ppm would be refused on 2 monitors set to 10 ppm"}}},
		{"for nobody", inNitrogen(part("NH3", 50*ppm, 0)), FleetFit{}},
	} {
		got := Fleet(c.gas, fleet, site)
		if got.Meets != c.want.Meets || got.Refused != c.want.Refused || got.Unknown != c.want.Unknown || !slices.Equal(got.Why, c.want.Why) {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
}

// What goods in says of the fleet is what a check-out says later.
func TestFleetAgreesWithMatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, m := anyGas(t), anyInstruments(t)
		m.Cross, m.Serials = nil, serials("X", 3)
		for i := range m.Channels {
			c := &m.Channels[i]
			c.Sensor, c.Range = "infrared", Level{}
		}
		var stopped bool
		for _, f := range Match(Test{Purpose: Calibration}, g, []Instruments{m}, site) {
			stopped = stopped || f.Severity == problem.Stop && strings.Contains(f.Text, "allowed")
		}
		if fleet := Fleet(g, []Instruments{m}, site); (fleet.Refused == 3) != stopped {
			t.Fatalf("refused %d, stopped %v: %+v", fleet.Refused, stopped, fleet)
		}
	})
}

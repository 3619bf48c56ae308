package fit

import (
	"testing"

	"spanroom/internal/unit"
)

func TestCertifiedAgainstSetValue(t *testing.T) {
	for _, c := range []struct {
		name              string
		certified, u, set float64 // ppm
		maySet            bool
		want              []string
	}{
		{"S35 near enough", 24.1, 0.5, 25, true, nil},
		{"S35 weak", 23.2, 0.5, 25, true, []string{"stop R17 D-001, D-002 H2S: H2S 23.2 ppm vs 25 ppm set (-7.2 %), 5 % allowed: it would then read about 8 % high | enter 23.2 ppm in the instrument, or take another lot"}},
		{"S94 strong", 25, 0.5, 23.2, false, []string{"stop R17 D-001, D-002 H2S: H2S 25 ppm vs 23.2 ppm set (+7.8 %), 5 % allowed: it would then read about 7 % low | take another lot, certified near 23.2 ppm"}},
		{"the certificate of an adsorbing gas widens it", 23.2, 2, 25, true, nil},
		{"just within", 23.75, 0, 25, true, nil},
		{"just without", 23.7, 0, 25, true, []string{"stop R17 ... (-5.2 %), 5 % allowed: it would then read about 5 % high"}},
		{"by a hair", 23.74, 0, 25, true, []string{"stop R17 ... (-5.040 %), 5 % allowed"}},
		{"none of it", 0, 0, 25, true, []string{"stop R17 ... it would then read far too high | take another lot, certified near 25 ppm"}},
	} {
		g := fourGas().with(part("H2S", amount(c.certified, ppm), amount(c.u, ppm)))
		m := monitors4().channel("H2S", func(x *Channel) { x.Set = given(amount(c.set, ppm)) })
		m.MaySet = c.maySet
		for _, p := range []Purpose{Check, Calibration} {
			tells(t, c.name, match(p, g, m), c.want...)
		}
	}
}

func TestSetValuesDoNotMatterToABump(t *testing.T) {
	g := fourGas().with(part("H2S", 232*ppm/10, ppm/2))
	for _, p := range []Purpose{Bump, Line} {
		tells(t, string(p), match(p, g, monitors4()))
	}
}

func TestCertificatesForgiveOnlyAdsorbingGases(t *testing.T) {
	g := fourGas().with(part("CO", 108*ppm, 10*ppm))
	tells(t, "CO", match(Calibration, g, monitors4()), "stop R17 D-001, D-002 CO: ... (+8.0 %), 5 % allowed")
}

func TestTheModelsOwnToleranceGoesFirst(t *testing.T) {
	g := fourGas().with(part("H2S", 232*ppm/10, 3*ppm))
	for tolerance, want := range map[float64][]string{10: nil, 2: {"(-7.2 %), 2 % allowed"}} {
		m := monitors4().channel("H2S", func(c *Channel) { c.Tolerance = tolerance })
		tells(t, "override", match(Calibration, g, m), want...)
	}
}

func TestOxygenSpannedByCylinder(t *testing.T) {
	m := monitors4().channel("O2", func(c *Channel) { c.CleanAir, c.Set = false, given(18*vol) })
	tells(t, "0.3 %vol off", match(Calibration, fourGas().with(part("O2", 183*vol/10, 0)), m))
	tells(t, "0.4 %vol off", match(Calibration, fourGas().with(part("O2", 176*vol/10, 0)), m),
		"stop R17 D-001, D-002 O2: O2 17.6 %vol vs 18 %vol set (-0.4 %vol), 0.3 %vol allowed: it would then read about 2 % high")
	m = m.channel("O2", func(c *Channel) { c.Tolerance = 1 })
	tells(t, "by the model's own", match(Calibration, fourGas().with(part("O2", 183*vol/10, 0)), m), "stop R17 ... (+1.7 %), 1 % allowed")
}

func TestRanges(t *testing.T) {
	ranged := func(component string, top unit.Amount) Instruments {
		return monitors4().channel(component, func(c *Channel) { c.Range = given(top) })
	}
	tells(t, "set beyond it", match(Calibration, fourGas(), ranged("CO", 90*ppm)),
		"stop R19 D-001, D-002 CO: the set value of 100 ppm lies above the range of 90 ppm: nobody can say")
	strong := fourGas().with(part("H2S", 60*ppm, 0))
	tells(t, "no set value beyond it is offered", match(Calibration, strong, ranged("H2S", 50*ppm)), "stop R17 ... | take another lot, certified near 25 ppm")
	tells(t, "bumped beyond it", match(Bump, strong, ranged("H2S", 50*ppm)),
		"ask R19 D-001, D-002 H2S: H2S 60 ppm shows 60 ppm, the range ends at 50 ppm | see in the manual")
	tells(t, "at its end", match(Bump, strong, ranged("H2S", 60*ppm)))
}

func TestLaterReading(t *testing.T) {
	for _, c := range []struct {
		set, delivered float64
		want           string
	}{
		{25, 23.2, "it would then read about 8 % high"},
		{23.2, 25, "it would then read about 7 % low"},
		{50, 56.818, "it would then read about 12 % low"},
		{100, 99, "it would then read about 1 % high"},
		{1000, 1004, "it would then read about 0.4 % low"},
		{25, 0, "it would then read far too high"},
	} {
		if got := laterReading(c.set, c.delivered); got != c.want {
			t.Errorf("set %v, delivered %v: %s, want %s", c.set, c.delivered, got, c.want)
		}
	}
}

func TestAmountWords(t *testing.T) {
	for a, want := range map[unit.Amount]string{
		0: "0 ppm", 500: "0.5 ppm", 24_600: "24.6 ppm", 2_000_000: "2000 ppm", vol / 2: "0.5 %vol", 25 * vol / 10: "2.5 %vol", 100 * vol: "100 %vol",
	} {
		if got := amountWords(a); got != want {
			t.Errorf("%d is written %q, want %q", a, got, want)
		}
	}
}

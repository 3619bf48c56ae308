package stock

import (
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

func TestDecideRuleByRule(t *testing.T) {
	v := shelfOf()
	good := bottle("2222-222A", q4Lot("2027-05-14"))
	cl := bottle("3333-333B", clLot("2027-12-01"))
	for name, c := range map[string]struct {
		of   cylinder
		need need
		want problem.Severity
		says string
	}{
		"nothing against it":             {good, bumps(14), "", ""},
		"gone":                           {with(good, func(c *cylinder) { c.Stage = Gone }), bumps(1), problem.Stop, "R15 stop this cylinder is gone"},
		"spent":                          {with(good, func(c *cylinder) { c.Stage = Spent }), bumps(1), problem.Stop, "R15 stop this cylinder is spent"},
		"nowhere":                        {with(good, func(c *cylinder) { c.PlaceID = nil }), bumps(1), problem.Stop, "R15 stop this cylinder stands at no place"},
		"with somebody":                  {with(good, func(c *cylinder) { c.HolderID, c.holder, c.HeldSince = new(int64(7)), "A", v.at }), bumps(1), problem.Stop, "R30 stop it is with A since 08:00"},
		"held":                           {good.hold(DoubtfulGas), bumps(1), problem.Stop, "R27 stop on hold: Doubtful gas (lot 7K-2206)"},
		"no certificate, bumps":          {good.hold(CertificateMissing), bumps(1), problem.Note, "bump tests on label values only"},
		"no certificate, calibration":    {good.hold(CertificateMissing), cals(1), problem.Stop, "R27 stop on hold: Certificate missing"},
		"regulator held":                 {good, bumps(1).fitted(&r01, models.Hold{OnName: "R-01", Reason: Damaged}), problem.Stop, "R27 stop the regulator is on hold: Damaged/doubtful"},
		"last day is still good":         {good, cals(1).through("2027-05-14"), problem.Note, "R28 note no instruments are named"},
		"the day after is not":           {good, cals(1).through("2027-05-15"), problem.Stop, "use by 14 May 2027, limited by the certificate; the last day of use is 15 May 2027 → take another one, or finish by 14 May 2027"},
		"expired long ago":               {bottle("2222-222A", q4Lot("2027-03-01")), bumps(1), problem.Stop, "→ take another one"},
		"undated":                        {bottle("2222-222A", q4Lot("")), bumps(1), problem.Stop, "R26 stop undated"},
		"sealed, judged as if opened":    {cl, bumps(1).through("2027-05-17"), "", ""}, // 3 March and 75 days
		"sealed, one day past that":      {cl, bumps(1).through("2027-05-18"), problem.Stop, "limited by Cl2: 75 days after opening"},
		"opened earlier":                 {cl.opened(40, "2027-02-01"), bumps(1).through("2027-05-01"), problem.Stop, "use by 17 Apr 2027"},
		"runs dry":                       {good.opened(4, "2027-02-01"), bumps(14), problem.Stop, "L short → take a fuller one, or fewer tests"},
		"below minimum pressure":         {good.opened(2, "2027-02-01"), bumps(1), problem.Stop, "R10 stop 2.0 bar is at or below the least usable pressure, 2.0 bar (the item's cut-off)"},
		"S31 calibration":                {dial(good.opened(12, "2027-02-01")), cals(12), problem.Ask, "it may run dry at instrument 12"},
		"S31 bumps":                      {dial(good.opened(12, "2027-02-01")), bumps(48), problem.Note, "→ carry a spare"},
		"enough by any reading":          {good.opened(40, "2027-02-01"), cals(12), problem.Note, "R28 note no instruments are named"},
		"no pressure":                    {with(good.opened(1, "2027-02-01"), func(c *cylinder) { c.PressureSource = Unknown }), bumps(1), problem.Stop, "R20 stop nobody has read the pressure"},
		"a calculation, long ago":        {with(good.opened(40, "2027-02-01"), func(c *cylinder) { c.PressureSource, c.MeasuredAt = Computed, v.at-31*day }), bumps(1), problem.Note, "last read 31 days ago"},
		"a calculation, never read":      {with(good.opened(40, "2027-01-31"), func(c *cylinder) { c.PressureSource, c.MeasuredAt = Computed, 0 }), bumps(1), problem.Note, "nobody has read it since it was opened"},
		"the same, opened not long ago":  {with(good.opened(40, "2027-02-01"), func(c *cylinder) { c.PressureSource, c.MeasuredAt = Computed, 0 }), bumps(1), "", ""},
		"no tests are named":             {good, need{purpose: Bump, from: v.today, until: v.today, along: bumps(1).along}, problem.Note, "nobody knows whether the gas is enough"},
		"no regulator is named":          {good, bumps(1).fitted(nil), problem.Note, "the outlet is CGA C-10"},
		"S40 another outlet":             {with(good, func(c *cylinder) { c.item.Outlet = "CGA 600" }), bumps(1), problem.Stop, "R21 stop"},
		"S92 rated for less":             {good, bumps(1).fitted(&models.Regulator{Code: "R-02", Inlet: "CGA C-10", MaxPressure: unit.PressureBar(34.5), Flow: 300}), problem.Stop, "R22 stop"},
		"S92 rated for enough":           {good, bumps(1).fitted(&models.Regulator{Code: "R-03", Inlet: "CGA C-10", MaxPressure: 6_894_757, Flow: 300}), "", ""},
		"opened, nobody knows when":      {good.opened(41, ""), cals(1), problem.Note, "R51 note nobody knows when it was opened"},
		"the same, not read":             {with(good.opened(41, ""), func(c *cylinder) { c.PressureSource = Computed }), cals(1), problem.Stop, "its pressure was not read"},
		"the same, adsorbing":            {cl.opened(41, ""), cals(1), problem.Stop, "it is for bump tests only"},
		"the same, adsorbing, bumps":     {cl.opened(41, ""), bumps(1), "", ""},
		"minimum inlet of the regulator": {good.opened(5, "2027-02-01"), bumps(1).fitted(&models.Regulator{Code: "R-04", Inlet: "CGA C-10", MaxPressure: unit.PressureBar(103), MinimumInlet: unit.PressureBar(6), Flow: 300}), problem.Stop, "6.0 bar (the regulator's minimum inlet)"},
		"minimum use of the certificate": {with(good.opened(5, "2027-02-01"), func(c *cylinder) {
			c.paper = &certificate{Certificate: models.Certificate{ExpiresOn: "2027-05-14", MinUsePressure: unit.PressureBar(7)}}
		}), bumps(1), problem.Stop, "the certificate's minimum use pressure"},
		"expired, a supervisor may, bumps": {good, allowed(bumps(1).through("2027-06-01")), problem.Ask, "say why bump tests with it are right"},
		"expired, never for calibration":   {good, allowed(cals(1).through("2027-06-01")), problem.Stop, "R26 stop"},
	} {
		d := v.decide(c.of, c.need)
		if got := problem.Worst(d.findings); got != c.want {
			t.Errorf("%s: the worst is %q, want %q:\n%s", name, got, c.want, say(d.findings))
		}
		contains(t, name, say(d.findings), c.says)
		for _, f := range d.findings {
			if f.Severity != problem.Note && (f.Advice == "" || f.Subject == "") {
				t.Errorf("%s: %+v has no subject or next step", name, f)
			}
		}
	}
}

const day = 24 * 60 * 60 * 1000

func with(c cylinder, change func(*cylinder)) cylinder {
	change(&c)
	return c
}

func dial(c cylinder) cylinder { return with(c, func(c *cylinder) { c.Gauge = "dial" }) }

func allowed(n need) need {
	n.mayExpire = true
	return n
}

func TestWithoutASuppliersDateGasIsForBumpTestsOnly(t *testing.T) { // S96
	v := shelfOf()
	l := clLot("")
	six, nine := int64(6), int64(9)
	l.FilledOn, l.parts[0].FallbackMonths, l.parts[1].FallbackMonths = "2026-11-01", &six, &nine
	c := bottle("2222-222A", l)
	if d := v.decide(c, bumps(1)); d.stopped() || d.useBy.ExpiresOn != "2027-05-01" {
		t.Errorf("bump: %s, use by %s", say(d.findings), d.useBy.ExpiresOn)
	}
	d := v.decide(c, cals(1))
	contains(t, "calibration", say(d.findings), "R26 stop there is no supplier's date, so it is for bump tests only")
}

func TestColdGasIsNotCalibratedWith(t *testing.T) {
	v := shelfOf()
	pentane := part(6, "nC5H12", "0.7 %vol")
	n := nitrogen
	n.Amount = 1_000_000_000 - pentane.Amount
	c := bottle("2222-222A", lotWith(3, "2027-12-01", "P", pentane, n))
	c.Coldest = unit.TemperatureCelsius(-15)
	contains(t, "bump", say(v.decide(c, bumps(1)).findings), "R14b ask it has been at -15 °C, where nC5H12")
	contains(t, "calibration", say(v.decide(c, cals(1)).findings), "R14b stop")
	c.Coldest = unit.TemperatureCelsius(16)
	if d := v.decide(c, cals(1)); d.stopped() {
		t.Error("it is warm: " + say(d.findings))
	}
}

func TestNeedCountsTestsPurgeAndRepeats(t *testing.T) {
	clCal := models.Procedure{ID: 3, Code: "cal-cl", Purpose: "calibration", Flow: 1000, Duration: 180, Conditioning: 300}
	both := need{tests: []testCount{{Procedure: bumpQ4, Count: 22}, {Procedure: calQ4, Count: 9}}, retryPct: 0}
	for name, c := range map[string]struct {
		need need
		want float64
	}{
		"S48: 22 bumps, 9 calibrations, one purge": {both, 9.0},
		"S31: 12 calibrations":                     {cals(12), 7.5},
		"conditioning is purge":                    {needOf(clCal, 2).fitted(nil), 11},
		"repeats are of the tests alone":           {with10(cals(10)), 6.9},
		"a fixed regulator gives its own flow":     {bumps(10).fitted(&models.Regulator{Mode: "fixed", Flow: 600}), 3.3},
		"a demand regulator gives what is asked":   {bumps(10).fitted(&models.Regulator{Mode: "demand", Flow: 600}), 1.8},
		"none":                                     {need{}, 0},
	} {
		if got := c.need.litres(); got < c.want-1e-9 || got > c.want+1e-9 {
			t.Errorf("%s: %g L, want %g", name, got, c.want)
		}
	}
}

func with10(n need) need {
	n.retryPct = 10
	return n
}

func TestNeedIsSplitByWhatThereIs(t *testing.T) {
	n := need{tests: []testCount{{Procedure: bumpQ4, Count: 22}, {Procedure: calQ4, Count: 9}}}
	first, rest := n.split(0.3 + 22*0.15 + 2*0.6 + 0.1)
	if first.words() != "22 bumps and 2 calibrations" || rest.words() != "7 calibrations" {
		t.Errorf("%s, then %s", first.words(), rest.words())
	}
	if dry := n.dryAt(0.3 + 22*0.15 + 2*0.6 + 0.1); dry != "test 25" {
		t.Errorf("dry at %s", dry)
	}
	if dry := cals(12).dryAt(0.3 + 11*0.6); dry != "instrument 12" {
		t.Errorf("dry at %s", dry)
	}
	if first, rest := n.split(0.1); len(first.tests) != 0 || rest.words() != n.words() {
		t.Errorf("%s, then %s", first.words(), rest.words())
	}
	if words := needOf(calQ4, 1).words(); words != "1 calibration" {
		t.Error(words)
	}
}

package stock

import (
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// rule is one case of a decision: what is changed about the delivery of eight, and what then stops, asks or is held. Of a
// finding every part between bars has to be there; "" is none.
type rule struct {
	name            string
	change          func(d *delivering)
	stop, ask, note string
	holds           string
}

func runRules(t *testing.T, rules []rule) {
	t.Helper()
	for _, c := range rules {
		t.Run(c.name, func(t *testing.T) {
			d := delivery8()
			c.change(d)
			p := d.decide(t)
			for severity, want := range map[problem.Severity]string{problem.Stop: c.stop, problem.Ask: c.ask} {
				got := told(p, severity)
				if want == "" && got != "" {
					t.Errorf("there is a %s: %s", severity, got)
				}
				contains(t, string(severity), got, want)
			}
			contains(t, "note", told(p, problem.Note), c.note)
			if got := holdsOf(p); got != c.holds {
				t.Errorf("holds %q, want %q", got, c.holds)
			}
		})
	}
}

func contains(t *testing.T, what, got, parts string) {
	t.Helper()
	for _, want := range strings.Split(parts, "|") {
		if !strings.Contains(got, want) {
			t.Errorf("%s: %q does not say %q", what, got, want)
		}
	}
}

func TestNothingStandsAgainstAGoodDelivery(t *testing.T) {
	p := delivery8().decide(t)
	if len(p.cylinders) != 8 || holdsOf(p) != "" || problem.Refuse(p.findings, nil) != nil {
		t.Errorf("%d cylinders, holds %q, findings %v", len(p.cylinders), holdsOf(p), p.findings)
	}
	if p.joins || !p.adopts || p.lot.LotKey != "7K-2206" || p.cylinders[0].pressure.Bar() != 69 || p.cylinders[0].source != Fill {
		t.Errorf("the plan is %+v", p.lot)
	}
}

func TestLots(t *testing.T) {
	before := func(lot, key string, blend int64) func(*delivering) {
		return func(d *delivering) {
			d.known.lots = []models.Lot{{ID: 7, SupplierID: 1, BlendID: blend, Lot: lot, LotKey: key, FilledOn: "2026-10-01", LabelExpiresOn: "2027-10-01"}}
			d.known.document = &certificate{Certificate: models.Certificate{ID: 3, Number: "C-881", ExpiresOn: "2027-10-01"}}
		}
	}
	runRules(t, []rule{
		{name: "the same lot again joins it", change: before("7k-2206", "7K-2206", 4), note: "join it|kept for the lot already"},
		{name: "S04 the same lot of another blend", change: before("7K-2206", "7K-2206", 5), stop: "R2 lot 7K-2206|as CL|compare the label"},
		{name: "a hyphen less", change: before("7K2206", "7K2206", 4), ask: "R2|a lot 7K2206: the same lot?"},
		{name: "O for 0", change: before("7K-22O6", "7K-22O6", 4), ask: "the same lot?"},
		{name: "another number", change: before("7K-2207", "7K-2207", 4)},
		{name: "another fill date on the label", change: func(d *delivering) {
			before("7K-2206", "7K-2206", 4)(d)
			d.order.FilledOn = "2026-10-02"
		}, ask: "R2|filled: 1 Oct 2026 is kept|the earlier, 1 Oct 2026"},
		{name: "another certificate is of the new cylinders", change: func(d *delivering) {
			before("7K-2206", "7K-2206", 4)(d)
			d.order.Certificate.Number = "C-990"
		}, note: "the lot has certificate C-881"},
		{name: "a lot without a certificate gets it", change: func(d *delivering) {
			before("7K-2206", "7K-2206", 4)(d)
			d.known.document = nil
			d.known.standing = []models.Hold{{Reason: CertificateMissing, Receiving: true}}
		}, note: "this one is for all of its cylinders|on hold: Certificate missing"},
		{name: "a lot without a certificate stays without", change: func(d *delivering) {
			before("7K-2206", "7K-2206", 4)(d)
			d.known.document, d.order.Certificate = nil, nil
			d.known.standing = []models.Hold{{Reason: CertificateMissing, Receiving: true}}
		}},
		{name: "a known lot that is short-dated by now holds the new ones alone", change: func(d *delivering) {
			before("7K-2206", "7K-2206", 4)(d)
			d.known.source.MinimumLifeDays, d.order.Counted = 300, 2
		}, holds: "cylinder 1: Short-dated; cylinder 2: Short-dated"},
	})
}

func TestSerials(t *testing.T) {
	seen := func(stage string, refillable bool) func(*delivering) {
		return func(d *delivering) {
			d.names.item.Refillable = refillable
			d.order.Serials = []string{"88-104", " 88-105"}
			d.known.serials["88-104"] = []models.Cylinder{{Tag: "7F3K-2Q1A", Serial: "88-104", Stage: stage}}
		}
	}
	runRules(t, []rule{
		{name: "S18 a non-refillable seen before", change: seen(Gone, false), ask: "R3 serial 88-104|number shared by the carton? leave it blank"},
		{name: "S18 a shell comes back", change: seen(Gone, true), note: "R3 serial 88-104|was here before as 7F3K-2Q1A: a new fill"},
		{name: "a shell that is still here", change: seen(Spent, true), stop: "R3 serial 88-104|still here as 7F3K-2Q1A (spent)"},
		{name: "one serial twice", change: func(d *delivering) { d.order.Serials = []string{"559123", "559123", "559123"} }, ask: "R3 serial 559123: 3 cylinders|leave it blank"},
		{name: "one shell twice", change: func(d *delivering) {
			d.names.item.Refillable = true
			d.order.Serials = []string{"a1", "A1"}
		}, stop: "R3 serial A1: 2 cylinders"},
	})
}

func TestCountsSourcesAndPlaces(t *testing.T) {
	runRules(t, []rule{
		{name: "S01 fewer than noted", change: func(d *delivering) { d.order.Noted = new(int64(12)) }, note: "R5a count: 12 cylinders noted, 8 counted: 4 short"},
		{name: "more than noted", change: func(d *delivering) { d.order.Noted = new(int64(7)) }, note: "7 cylinders noted, 8 counted: 1 over"},
		{name: "an order's number", change: func(d *delivering) { d.order.Order = "PO-17" }, note: "order PO-17 is written on the receipt"},
		{name: "no source", change: func(d *delivering) { d.known.source = nil }, note: "R5b Q4: Northbank Gases is not among its sources"},
		{name: "S19 a place that is full", change: func(d *delivering) {
			d.names.place.MaxCylinders, d.known.stands[1] = new(int64(10)), 3
		}, ask: "R42 CAGE: 3 stand there, and 8 more are above its limit of 10|room at YARD, SHELF-A"},
		{name: "a place that is just full enough", change: func(d *delivering) {
			d.names.place.MaxCylinders, d.known.stands[1] = new(int64(10)), 2
		}},
		{name: "no room anywhere", change: func(d *delivering) {
			d.names.place.MaxCylinders = new(int64(1))
			for i := range d.known.places {
				d.known.places[i].MaxCylinders = new(int64(7))
			}
		}, ask: "R42|no other place has room"},
	})
}

func TestCertificates(t *testing.T) {
	value := func(at int, amount string) func(*delivering) {
		return func(d *delivering) { d.order.Certificate.Values[at].Amount = unit.Typed(amount) }
	}
	runRules(t, []rule{
		{name: "S10 no certificate", change: func(d *delivering) { d.order.Certificate = nil }, holds: "lot: Certificate missing", note: "R5c lot 7K-2206|bump tests on label values|released by: clerk, supervisor"},
		{name: "a certificate with nothing on it", change: func(d *delivering) {
			d.order.Certificate = &CertificateOrder{Kind: Analysis, Values: []ValueOrder{{Component: "CH4"}}}
		}, holds: "lot: Certificate missing"},
		{name: "S11 %vol for ppm", change: value(3, "25 %vol"), stop: "R5c H2S: 25 %vol stands where 25 ppm is ordered: a factor of 10,000|→ 25 ppm?"},
		{name: "ppm for %vol", change: value(0, "2.5 ppm"), stop: "a factor of 10,000|2.5 %vol?"},
		{name: "ppb for ppm", change: value(2, "101 ppb"), stop: "a factor of 1,000|101 ppm?"},
		{name: "an uncertainty in another unit", change: func(d *delivering) { d.order.Certificate.Values[3].Uncertainty = "2 %vol" },
			stop: "R5c H2S: the uncertainty of 2 %vol is more than the value of 24.6 ppm itself"},
		{name: "S12 more than the whole", change: value(2, "100 %vol"), stop: "R5d certificate: the values make 120.622 %vol|factor of 10,000"},
		{name: "within 5 %", change: value(0, "2.62 %vol")},
		{name: "beyond 5 %", change: value(0, "2.63 %vol"), holds: "lot: Doubtful gas", note: "CH4 2.63 %vol is 0.13 %vol off the nominal 2.5 %vol, more than the making tolerance of 0.125 %vol"},
		{name: "adsorbing within 10 %", change: value(3, "22.6 ppm")},
		{name: "adsorbing beyond 10 %", change: value(3, "22.4 ppm"), holds: "lot: Doubtful gas"},
		{name: "oxygen within half a percent", change: value(1, "18.5 %vol")},
		{name: "oxygen beyond", change: value(1, "17.4 %vol"), holds: "lot: Doubtful gas"},
		{name: "the blend's own tolerance", change: func(d *delivering) {
			d.known.parts[3].Tolerance = 300
		}, holds: "lot: Doubtful gas", note: "H2S 24.6 ppm is 0.4 ppm off"},
		{name: "the component's own tolerance", change: func(d *delivering) {
			d.known.parts[3].MakingTolerance = new(int64(100))
		}, holds: "lot: Doubtful gas"},
		{name: "a component without a value", change: func(d *delivering) {
			d.order.Certificate.Values = d.order.Certificate.Values[:3]
		}, holds: "lot: Doubtful gas", note: "it has no value for H2S"},
		{name: "conformity needs no values", change: func(d *delivering) {
			d.order.Certificate.Kind, d.order.Certificate.Values = Conformity, nil
		}},
		{name: "conformity with a value that is off", change: func(d *delivering) {
			d.order.Certificate.Kind, d.order.Certificate.Values = Conformity, []ValueOrder{{"CO", "80 ppm", ""}}
		}, holds: "lot: Doubtful gas"},
		{name: "a component of another blend", change: func(d *delivering) {
			d.order.Certificate.Values = append(d.order.Certificate.Values, ValueOrder{"Cl2", "10 ppm", ""})
		}, holds: "lot: Doubtful gas", note: "it names Cl2, which the blend does not have"},
		{name: "the balance makes up the whole", change: func(d *delivering) {
			d.order.Certificate.Values = append(d.order.Certificate.Values, ValueOrder{"N2", "79.4 %vol", ""})
		}},
		{name: "the balance leaves a gap", change: func(d *delivering) {
			d.order.Certificate.Values = append(d.order.Certificate.Values, ValueOrder{"N2", "70 %vol", ""})
		}, ask: "R5d certificate: the values and the balance make 90.6324 %vol"},
		{name: "one cylinder has its own", change: func(d *delivering) {
			d.order.Certificate, d.order.Counted = nil, 2
			own := *delivery8().order.Certificate
			d.order.Cylinders = []ReceiveCylinder{{Serial: "88-104", Certificate: &own}}
		}, holds: "cylinder 2: Certificate missing"},
	})
}

func TestDates(t *testing.T) {
	chlorine := func(d *delivering) {
		d.oneGas("CL", "Cl2", "10 ppm", new(int64(8)), new(int64(6)))
		d.order.FilledOn, d.order.LabelExpiresOn, d.order.Certificate.ExpiresOn = "2026-08-10", "", "2027-08-10"
		d.known.source.MinimumLifeDays = 0
	}
	runRules(t, []rule{
		{name: "S05 past on arrival", change: func(d *delivering) {
			d.order.LabelExpiresOn, d.order.Certificate.ExpiresOn = "2027-02-28", "2027-02-28"
		}, holds: "lot: Short-dated", note: "R5e lot 7K-2206: the supplier's date, 28 Feb 2027, has passed already|released by: purchaser"},
		{name: "the last day is not past", change: func(d *delivering) {
			d.order.LabelExpiresOn, d.order.Certificate.ExpiresOn, d.known.source.MinimumLifeDays = "2027-03-03", "2027-03-03", 0
		}},
		{name: "the last day is past where dates are valid before", change: func(d *delivering) {
			d.order.LabelExpiresOn, d.order.Certificate.ExpiresOn, d.known.source.MinimumLifeDays = "2027-03-03", "2027-03-03", 0
			d.known.settings.ExpiryValid = "before"
		}, holds: "lot: Short-dated"},
		{name: "S16 less life than agreed", change: func(d *delivering) { d.known.source.MinimumLifeDays = 213 }, holds: "lot: Short-dated", note: "212 days are left by the supplier's date, 1 Oct 2027; 213 are agreed"},
		{name: "just as much life as agreed", change: func(d *delivering) { d.known.source.MinimumLifeDays = 212 }},
		{name: "no agreement, no minimum", change: func(d *delivering) { d.known.source = nil }},
		{name: "S91 label and certificate differ", change: func(d *delivering) {
			chlorine(d)
			d.order.LabelExpiresOn = "2027-07-10"
		}, ask: "R7 supplier's expiry: the certificate says 10 Aug 2027, the label says 10 Jul 2027|compare"},
		{name: "S09 the site's cap is the purchaser's worry only when past", change: chlorine},
		{name: "the site's use-by has passed", change: func(d *delivering) {
			chlorine(d)
			d.order.FilledOn = "2026-06-10"
		}, note: "R7 use-by: the site's use-by, 10 Feb 2027, has passed already"},
		{name: "undated", change: func(d *delivering) {
			d.order.LabelExpiresOn, d.order.Certificate.ExpiresOn = "", ""
		}, holds: "lot: Undated"},
		{name: "S96 no supplier's date, but a fallback", change: func(d *delivering) {
			chlorine(d)
			d.known.parts[1].FallbackMonths = new(int64(60))
			d.order.Certificate.ExpiresOn = ""
		}, note: "no supplier's date: bump tests only"},
		{name: "months against a printed date", change: func(d *delivering) { d.order.ValidMonths = new(int64(12)) }, ask: "R7|1 Oct 2027 is printed, and 12 months from 5 Oct 2026 end on 5 Oct 2027"},
		{name: "months that agree", change: func(d *delivering) {
			d.order.ValidMonths, d.order.AssayedOn = new(int64(12)), "2026-10-01"
		}},
	})
}

func TestPressures(t *testing.T) {
	measured := func(text, temperature, gauge string, refillable bool) func(*delivering) {
		return func(d *delivering) {
			d.order.Pressure, d.order.Temperature, d.order.Gauge, d.order.PressureSource = unit.Typed(text), unit.Typed(temperature), gauge, Measured
			d.names.item.Refillable, d.order.Counted = refillable, 1
		}
	}
	runRules(t, []rule{
		{name: "S13 psi typed as bar", change: func(d *delivering) { d.order.Pressure = "1000 bar" }, stop: "R5f pressure: 1000 bar is above 75.9 bar possible for this size|→ 1000 psi = 68.9 bar?"},
		{name: "too high in every unit", change: func(d *delivering) { d.order.Pressure = "200 bar" }, stop: "check the figure and its unit"},
		{name: "warm but possible", change: func(d *delivering) { d.order.Pressure = "75.9 bar" }},
		{name: "bar typed as psi", change: func(d *delivering) { d.order.Pressure = "69 psi" }, ask: "69 psi is 4.8 bar, and the fill is 69.0 bar|69 bar = 69.0 bar?"},
		{name: "S14 kilopascals", change: func(d *delivering) { d.order.Pressure = "4200 kPa" }, note: "4200 kPa (42.0 bar) is typed as the fill"},
		{name: "measured full", change: measured("68 bar", "21 C", "digital", true)},
		{name: "measured at the limit of a dial", change: measured("59.6 bar", "21 C", "dial", true)},
		{name: "measured low on a dial", change: measured("59.5 bar", "21 C", "dial", true), holds: "cylinder 1: Low on arrival", note: "59.5 bar at 21 °C, and at least 59.6 bar is expected"},
		{name: "the digital gauge is stricter", change: measured("61.5 bar", "21 C", "digital", true), holds: "cylinder 1: Low on arrival"},
		{name: "cold, and full for all that", change: measured("58 bar", "-10 C", "digital", true)},
		{name: "a sealed one that was measured", change: measured("68 bar", "21 C", "", false), note: "not opened to be measured"},
		{name: "one of two is low", change: func(d *delivering) {
			measured("68 bar", "", "", true)(d)
			d.order.Counted, d.order.Cylinders = 2, []ReceiveCylinder{{}, {Serial: "s2", Pressure: "40 bar"}}
		}, holds: "serial S2: Low on arrival"},
	})
}

func TestChecks(t *testing.T) {
	runRules(t, []rule{
		{name: "looked at and in order", change: func(d *delivering) {
			d.order.Cylinders = []ReceiveCylinder{{Serial: "1", Checks: ReceiveChecks{Cap: new(true), Seal: new(true), Label: new(true)}}}
		}},
		{name: "each fault", change: func(d *delivering) {
			d.order.Cylinders = []ReceiveCylinder{{Serial: "1", Checks: ReceiveChecks{Cap: new(false), Seal: new(false), Label: new(false), Dents: true, Rust: true}}}
		}, holds: "serial 1: Damaged/doubtful", note: "R5g serial 1: cap missing or damaged, seal broken, dents, rust, label not legible"},
		{name: "leaking", change: func(d *delivering) {
			d.order.Cylinders = []ReceiveCylinder{{Serial: "1", Checks: ReceiveChecks{Leaking: true, Dents: true}}}
		}, holds: "serial 1: Leak suspected; serial 1: Damaged/doubtful", note: "leave first, warn others, keep out, call"},
	})
}

func TestConformityKeepsNominalValuesWithTheirTolerance(t *testing.T) {
	k := delivery8().known
	values := k.nominal(&paper{Certificate: models.Certificate{Kind: Conformity}, values: []certified{{Named: store.Named{ID: 3, Code: "CO"}, amount: 99_000, typed: "99 ppm"}}})
	got := map[string]unit.Amount{}
	for _, v := range values {
		got[v.Code+" "+v.typed] = v.uncertainty
	}
	want := map[string]unit.Amount{"CO 99 ppm": 0, "CH4 2.5 %vol": 1_250_000, "O2 18 %vol": 5_000_000, "H2S 25 ppm": 2_500}
	for name, uncertainty := range want {
		if u, there := got[name]; !there || u != uncertainty {
			t.Errorf("%s ± %d is not among %v", name, uncertainty, got)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d values, want %d", len(got), len(want))
	}
}

package stock

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// fourGasModel is a diffusion monitor whose channels are set to four-gas as it is ordered.
func fourGasModel(code string) *catalogue.Model {
	return &catalogue.Model{
		Code: code, Sampling: "diffusion", FlowMin: "0.25 L/min", FlowMax: "0.5 L/min", SetValuesAdjustable: true,
		Channels: []catalogue.Channel{
			{Component: "CH4", Name: "EX", SetValue: "50 %LEL", LowAlarm: "10 %LEL", HighAlarm: "20 %LEL", Range: "100 %LEL", LEL: "5.0 %vol", LELBasis: "instrument maker's own", Sensor: "catalytic"},
			{Component: "O2", SpanBy: "clean air", LowAlarm: "19.5 %vol", Accuracy: "0.5 %vol"},
			{Component: "CO", SetValue: "100 ppm", LowAlarm: "30 ppm", HighAlarm: "60 ppm", T90: "25 s"},
			{Component: "H2S", SetValue: "25 ppm", LowAlarm: "10 ppm", HighAlarm: "15 ppm", T90: "28 s"},
		},
		CrossSensitivities: []catalogue.CrossSensitivity{
			{Channel: "CH4", Gases: []string{"CO", "H2S"}}, {Channel: "CO", Gases: []string{"CH4", "H2S"}},
			{Channel: "H2S", Gases: []string{"CH4", "CO"}}, {Channel: "O2", Gases: []string{"CH4", "CO", "H2S"}},
		},
	}
}

// checking is the setting with monitors of one model: D-101 and D-102 as they are made, D-103 set to weaker H2S.
func checking(t *testing.T, s *store.Store) *harrowmere {
	t.Helper()
	h := onRounds(t, s)
	h.make(
		fourGasModel("DIFF-4"),
		&catalogue.Instrument{Code: "D-101", Model: "DIFF-4"}, &catalogue.Instrument{Code: "D-102", Model: "DIFF-4"},
		&catalogue.Instrument{Code: "D-103", Model: "DIFF-4", SetValues: []catalogue.SetValue{{Component: "H2S", SetValue: "23.2 ppm"}}},
		&catalogue.Round{Code: "weekly", Place: "VAN-1", Instruments: []string{"D-101", "D-102"}, SessionsPerWeek: 1, Tests: []catalogue.RoundTest{
			{Procedure: "bump-q4", TimesPerWeek: 1}, {Procedure: "cal-q4", TimesPerWeek: 1},
		}},
	)
	return h
}

func calibrating(serials ...string) TakeOrder {
	return TakeOrder{Item: "Q4", Instruments: serials, Purpose: Calibration}
}

func (h *harrowmere) tries(tag string, o TakeOrder, change func(*CheckOutOrder)) (CheckOutAnswer, error) {
	order := CheckOutOrder{TakeOrder: o, Cylinder: tag, Regulator: "R-01"}
	if change != nil {
		change(&order)
	}
	return h.CheckOut(h.ctx(), h.act("A"), order)
}

func TestTheGasIsHeldAgainstTheInstrumentsThatAreNamed(t *testing.T) {
	h := checking(t, storetest.New(t))
	tag := h.receive(q4("7K-2206", 1))[0]
	for name, c := range map[string]struct {
		order TakeOrder
		kind  problem.Kind // "" is taken
		says  string
	}{
		"as they are set":          {calibrating("D-101", "D-102"), "", ""},
		"set to another lot (S94)": {calibrating("D-101", "D-103"), problem.Refused, "D-103 H2S H2S 24.6 ppm vs 23.2 ppm set (+6.0 %), 5 % allowed: it would then read about 6 % low"},
		"of a round":               {TakeOrder{Round: "weekly"}, "", ""},
		"tests and instruments":    {TakeOrder{Item: "Q4", Tests: []TestOrder{{"cal-q4", 1}}, Instruments: []string{"D-103"}}, problem.Refused, "R17"},
		"more than its tests":      {TakeOrder{Item: "Q4", Tests: []TestOrder{{"bump-q4", 1}}, Instruments: []string{"D-103"}, Purpose: Calibration}, problem.Refused, "R17"},
		"a bump of the same":       {TakeOrder{Item: "Q4", Tests: []TestOrder{{"bump-q4", 1}}, Instruments: []string{"D-103"}}, "", ""},
		"a model that is unknown":  {calibrating("D-001"), problem.Refused, "R28"},
		"another gas":              {TakeOrder{Item: "Q4", Tests: []TestOrder{{"bump-q4", 1}}, Instruments: []string{"X-9"}}, problem.Invalid, "X-9"},
	} {
		a, err := h.tries(tag, c.order, nil)
		if problem.KindOf(err) != c.kind || err != nil && c.kind == "" {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if err != nil {
			contains(t, name, wholeError(err), c.says)
			continue
		}
		if len(a.Findings) != 0 || !strings.HasPrefix(a.Compared, "compared with instruments: ") {
			t.Errorf("%s: %s %s", name, a.Compared, say(a.Findings))
		}
		h.back("A", ReturnOrder{Checkout: a.ID, Place: "CAGE"})
	}
	h.verify()
}

// wholeError is a problem with its fields and findings in words.
func wholeError(err error) string {
	words := err.Error()
	if p, is := err.(*problem.Error); is {
		for _, f := range p.Findings {
			words += "\n" + f.Rule + " " + f.Subject + " " + f.Text
		}
	}
	return words
}

func TestEnteringTheGasRecordsTheSetValues(t *testing.T) { // S35
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := checking(t, s)
		tag := h.receive(q4("7K-2206", 1))[0]
		order := calibrating("D-101", "D-103")
		entering := func(o *CheckOutOrder) { o.SetToCertified = true }
		_, err := h.tries(tag, order, entering)
		h.wants(err, problem.Refused, "24.6 ppm is entered in place of 23.2 ppm")
		a, err := h.tries(tag, order, func(o *CheckOutOrder) { entering(o); o.Reasons = map[string]string{"R17": "I enter it now"} })
		if err != nil {
			t.Fatal(err)
		}
		h.back("A", ReturnOrder{Checkout: a.ID, Place: "CAGE"})
		if got := h.instrument("D-103"); got.SetValues[0].SetValue != "24.6 ppm" || got.ChangedOn != "2027-03-03" {
			t.Errorf("%+v", got)
		}
		if got := h.instrument("D-101"); got.Version != 1 {
			t.Errorf("D-101 matched and was changed: %+v", got)
		}
		_, err = h.tries(tag, order, nil)
		h.wants(err, problem.Refused, "screens show EX 50 %LEL, CO 100 ppm, H2S 24.6 ppm?")
		if _, err = h.tries(tag, order, func(o *CheckOutOrder) { o.Reasons = map[string]string{"R28": "it does"} }); err != nil {
			t.Errorf("what was entered does not match: %v", err)
		}
		h.verify()
	})
}

func (h *harrowmere) instrument(code string) *catalogue.Instrument {
	h.t.Helper()
	n, _ := catalogue.NounAt("instruments")
	thing, err := h.catalogue().Get(h.ctx(), n, code)
	if err != nil {
		h.t.Fatal(err)
	}
	return thing.(*catalogue.Instrument)
}

func TestScreensAreComparedOnceAndThenConfirmed(t *testing.T) { // R28
	h := checking(t, storetest.New(t))
	h.change("instrument", "D-102", func(o catalogue.Order) {
		i := o.(*catalogue.Instrument)
		i.SetValuesConfirmedOn, i.ChangedOn = "2027-01-05", "2027-02-01"
	})
	tag := h.receive(q4("7K-2206", 1))[0]
	order := calibrating("D-101", "D-102")
	_, err := h.tries(tag, order, nil)
	h.wants(err, problem.Refused, "screens show EX 50 %LEL, CO 100 ppm, H2S 25 ppm?")
	a, err := h.tries(tag, order, func(o *CheckOutOrder) { o.Reasons = map[string]string{"R28": "compared, both"} })
	if err != nil {
		t.Fatal(err)
	}
	h.back("A", ReturnOrder{Checkout: a.ID, Place: "CAGE"})
	if got := h.instrument("D-102").SetValuesConfirmedOn; got != "2027-03-03" {
		t.Errorf("confirmed on %q", got)
	}
	if _, err := h.tries(tag, order, nil); err != nil {
		t.Errorf("it is asked again: %v", err)
	}
	h.verify()
}

func TestATestWithTheWrongGasIsRecordedAndDoesNotCount(t *testing.T) { // R31
	h := checking(t, storetest.New(t))
	tag := h.receive(q4("7K-2206", 1))[0]
	a, err := h.tries(tag, calibrating("D-101"), nil)
	if err != nil {
		t.Fatal(err)
	}
	for instrument, counts := range map[string]bool{"D-101": true, "D-103": false} {
		logged, err := h.LogTests(h.ctx(), h.act("A"), TestLogOrder{Checkout: a.ID, Instrument: instrument, Procedure: "cal-q4", Result: Pass})
		if err != nil || logged.Test.Valid != counts || counts == strings.Contains(say(logged.Findings), "R17 note") {
			t.Errorf("%s: %+v %v", instrument, logged, err)
		}
	}
}

func TestADeliveryIsHeldAgainstTheFleet(t *testing.T) { // R5h, S93
	h := checking(t, storetest.New(t))
	o := q4("7K-2206", 1)
	o.Certificate.Values[1].Amount, o.Certificate.Values[3].Amount = "18.3 %vol", "23.4 ppm"
	h.settings(func(s *catalogue.Settings) { s.MakingToleranceAdsorbingPct = 20 })
	a, err := h.Receive(h.ctx(), h.act("clerk"), o)
	if err != nil {
		t.Fatal(err)
	}
	contains(t, "findings", say(a.Findings), "R5h note it may be as ordered, but H2S 23.4 ppm would be refused on 2 monitors set to 25 ppm")
	if f := a.Fleet; f == nil || f.Instruments != 3 || f.Meets != 1 || f.Refused != 2 || f.Words != "meets the set values of 1 of 3 instruments that measure it" {
		t.Errorf("%+v", a.Fleet)
	}
}

// Whatever is added to a check that somebody could object to, its verdict never becomes milder.
func TestAProblemMoreIsNeverMilder(t *testing.T) {
	v := shelfOf()
	groups := modelsOf(t)
	rank := func(s problem.Severity) int {
		return slices.Index([]problem.Severity{"", problem.Note, problem.Ask, problem.Stop}, s)
	}
	worse := map[string]func(*cylinder, *need){
		"a hold":           func(c *cylinder, _ *need) { *c = c.hold(DoubtfulGas) },
		"expired":          func(_ *cylinder, n *need) { n.until = "2028-03-03" },
		"less gas":         func(c *cylinder, _ *need) { *c = c.opened(2.5, "2027-02-01") },
		"more tests":       func(_ *cylinder, n *need) { n.tests = append(slices.Clone(n.tests), n.tests[0]) },
		"another outlet":   func(c *cylinder, _ *need) { c.item.Outlet = "CGA 600" },
		"an unknown model": func(_ *cylinder, n *need) { n.name(append(slices.Clone(n.on), groups["unknown"])) },
		"other set values": func(_ *cylinder, n *need) { n.name(append(slices.Clone(n.on), groups["off"])) },
		"PVC for chlorine": func(_ *cylinder, n *need) {
			n.along.parts.Tubing = &fit.Tubing{Code: "T", Material: "PVC", Length: 800}
		},
		"another last gas": func(_ *cylinder, n *need) {
			r := *n.along.parts.Regulator
			r.LastGas = []string{"NH3"}
			n.along.parts.Regulator = &r
		},
		"a brass regulator": func(_ *cylinder, n *need) {
			r := *n.along.parts.Regulator
			r.Body = "brass"
			n.along.parts.Regulator = &r
		},
		"out of service": func(_ *cylinder, n *need) {
			r := *n.along.parts.Regulator
			r.OutOfService = true
			n.along.parts.Regulator = &r
		},
	}
	names := make([]string, 0, len(worse))
	for name := range worse {
		names = append(names, name)
	}
	slices.Sort(names)
	rapid.Check(t, func(r *rapid.T) {
		c := rapid.SampledFrom([]cylinder{bottle("2222-222A", q4Lot("2027-09-01")), bottle("3333-333B", clLot("2027-12-01"))}).Draw(r, "cylinder")
		n := rapid.SampledFrom([]need{bumps(5), cals(5)}).Draw(r, "need")
		n.name(group{groups["right"]})
		before := problem.Worst(v.decide(c, n).findings)
		for _, name := range rapid.SliceOfNDistinct(rapid.SampledFrom(names), 1, 4, rapid.ID[string]).Draw(r, "problems") {
			worse[name](&c, &n)
			after := problem.Worst(v.decide(c, n).findings)
			if rank(after) < rank(before) {
				r.Fatalf("%s: from %q to %q", name, before, after)
			}
			before = after
		}
	})
}

// name gives instruments to every test of a need.
func (n *need) name(on group) {
	n.on, n.tests = on, slices.Clone(n.tests)
	for i := range n.tests {
		n.tests[i].on = on
	}
}

// modelsOf are instruments that four-gas is right for, that are set to something else, and of which nothing is known.
func modelsOf(t *testing.T) map[string]fit.Instruments {
	t.Helper()
	model := *fourGasModel("DIFF-4")
	known := map[string]catalogue.Model{"DIFF-4": model}
	of := func(i catalogue.Instrument) fit.Instruments {
		return catalogue.FitInstruments(known, []catalogue.Instrument{i}, "2027-03-03", catalogue.DefaultSettings())[0]
	}
	return map[string]fit.Instruments{
		"right":   of(catalogue.Instrument{Code: "D-101", Model: "DIFF-4", SetValuesConfirmedOn: "2027-03-01"}),
		"off":     of(catalogue.Instrument{Code: "D-103", Model: "DIFF-4", SetValuesConfirmedOn: "2027-03-01", SetValues: []catalogue.SetValue{{Component: "H2S", SetValue: "20 ppm"}}}),
		"unknown": of(catalogue.Instrument{Code: "D-900"}),
	}
}

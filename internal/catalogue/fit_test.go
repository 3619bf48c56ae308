package catalogue_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

func TestTheSitesFiguresForTheCheck(t *testing.T) {
	s := catalogue.DefaultSettings()
	want := fit.Policy{MatchPct: 5, MatchOxygenVol: 0.3, BumpMargin: 1.1, CatalyticOxygen: 10, FlowPct: 10, PumpMargin: 1.1, LineWaitSPerM: 3, RatingMargin: 1.01}
	got := catalogue.FitPolicy(s)
	if math.Abs(got.HotFactor-323.15/294.15) > 1e-12 {
		t.Errorf("the heat raises pressure by %v", got.HotFactor)
	}
	if got.HotFactor = 0; got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	s.MatchTolerancePct, s.MatchOxygenVolPct, s.BumpMargin, s.CatalyticOxygenVolPct, s.FlowTolerancePct = 1, 2, 3, 4, 5
	s.PumpMargin, s.LineWaitSPerM, s.RatingMargin, s.HotC = 6, 7, 8, 21
	want = fit.Policy{MatchPct: 1, MatchOxygenVol: 2, BumpMargin: 3, CatalyticOxygen: 4, FlowPct: 5, PumpMargin: 6, LineWaitSPerM: 7, RatingMargin: 8, HotFactor: 1}
	if got := catalogue.FitPolicy(s); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// fourGas is the model m4 as the catalogue answers it.
func fourGas(t *testing.T) (catalogue.Model, *store.Store) {
	t.Helper()
	s := storetest.New(t)
	m, err := testingRoom(t, s).Get(t.Context(), nounAt(t, "models"), "M4")
	if err != nil {
		t.Fatal(err)
	}
	return *m.(*catalogue.Model), s
}

func TestAModelAsTheCheckTakesIt(t *testing.T) {
	m, _ := fourGas(t)
	groups := catalogue.FitInstruments(map[string]catalogue.Model{"M4": m}, []catalogue.Instrument{{Code: "D-1", Model: "M4", SetValuesConfirmedOn: "2027-03-01"}}, "2027-03-03", catalogue.DefaultSettings())
	if len(groups) != 1 {
		t.Fatalf("%+v", groups)
	}
	g := groups[0]
	if !slices.Equal(g.Serials, []string{"D-1"}) || g.Model != "M4" || g.Sampling != fit.Diffusion || g.FlowMin != 250 || g.FlowMax != 350 || g.FlowOne != 300 || g.PumpFlow != 0 ||
		!g.NitrogenZero || !g.MaySet || !g.Connected || g.Unconfirmed != "" || g.FilterDue != "" || g.OutOfService {
		t.Errorf("%+v", g)
	}
	if len(g.Cross) != 1 || g.Cross[0].Channel != "CO" || !slices.Equal(g.Cross[0].Gases, []string{"H2S", "H2"}) || !g.Cross[0].Interferes {
		t.Errorf("%+v", g.Cross)
	}
	if len(g.Channels) != 4 {
		t.Fatalf("%+v", g.Channels)
	}
	lel, oxygen, co, h2s := g.Channels[0], g.Channels[1], g.Channels[2], g.Channels[3]
	if lel.Name != "LEL" || lel.Component != "CH4" || lel.Formula != "CH4" || lel.Set != (fit.Level{LEL: 50, InLEL: true, Given: true}) || lel.OxygenMin != 120_000_000 || lel.Sensor != "catalytic" ||
		lel.Scale == nil || *lel.Scale != (fit.Scale{LEL: 50_000_000, Basis: "NFPA497:2008"}) {
		t.Errorf("%+v, %+v", lel, lel.Scale)
	}
	if !oxygen.CleanAir || oxygen.Accuracy != 3_000_000 || oxygen.Scale != nil {
		t.Errorf("%+v", oxygen)
	}
	if co.CleanAir || co.T90 != 15 || co.Tolerance != 4 || co.Range.Amount != 500_000 || co.LowAlarm.Amount != 30_000 || co.HighAlarm.Amount != 60_000 || co.Scale != nil {
		t.Errorf("%+v", co)
	}
	if h2s.Range.Given || h2s.Tolerance != 0 {
		t.Errorf("%+v", h2s)
	}
}

func TestAScaleIsKeptWithoutItsFigures(t *testing.T) {
	factor := 1.15
	for name, tt := range map[string]struct {
		channel catalogue.Channel
		want    *fit.Scale
	}{
		"amounts alone":   {catalogue.Channel{Component: "CH4", SetValue: "2.5 %vol"}, nil},
		"an unknown LEL":  {catalogue.Channel{Component: "CH4", LowAlarm: "10 %LEL"}, &fit.Scale{}},
		"a shown gas":     {catalogue.Channel{Component: "C3H8", ShownGas: "nC6H14"}, &fit.Scale{Shown: "nC6H14"}},
		"the same gas":    {catalogue.Channel{Component: "C3H8", ShownGas: "C3H8"}, nil},
		"an LEL alone":    {catalogue.Channel{Component: "C3H8", LEL: "1.7 %vol"}, &fit.Scale{LEL: 17_000_000}},
		"all of it":       {catalogue.Channel{Component: "C3H8", ShownGas: "nC6H14", LEL: "1.7 %vol", LELBasis: "ours", Factor: &factor, FactorReading: "true_reading"}, &fit.Scale{Shown: "nC6H14", LEL: 17_000_000, Basis: "ours", Factor: fit.PrintedFactor{Value: 1.15, Reading: fit.TrueReading}, HasFactor: true}},
		"an old document": {catalogue.Channel{Component: "CH4", SetValue: "lots"}, nil},
	} {
		got := catalogue.ModelChannels(catalogue.Model{Channels: []catalogue.Channel{tt.channel}}, catalogue.Instrument{})
		if len(got) != 1 || (got[0].Scale == nil) != (tt.want == nil) || tt.want != nil && *got[0].Scale != *tt.want {
			t.Errorf("%s: %+v, want %+v", name, got, tt.want)
		}
	}
}

// An instrument has its own set values where they differ from the model's, by the name of the channel where there are two.
func TestOwnSetValues(t *testing.T) {
	m := catalogue.Model{Code: "M", Channels: []catalogue.Channel{
		{Component: "CH4", Name: "LEL", SetValue: "50 %LEL"}, {Component: "CH4", Name: "IR", SetValue: "50 %vol"}, {Component: "CH4"}, {Component: "CO", Name: "TOX", SetValue: "100 ppm"}, {Component: "O2", SetValue: "18 %vol"},
	}}
	i := catalogue.Instrument{SetValues: []catalogue.SetValue{
		{Component: "CH4", Name: "IR", SetValue: "60 %vol"}, {Component: "CO", SetValue: "98 ppm"}, {Component: "CH4", SetValue: "45 %LEL"}, {Component: "H2", SetValue: "1 ppm"}, {Component: "O2", Name: "old name", SetValue: "17 %vol"},
	}}
	words := func() string {
		var all []string
		for _, ch := range catalogue.ModelChannels(m, i) {
			all = append(all, ch.Set.Words())
		}
		return strings.Join(all, ", ")
	}
	if got := words(); got != "50 %LEL, 60 %vol, 45 %LEL, 98 ppm, 18 %vol" {
		t.Error(got)
	}
	channels := catalogue.ModelChannels(m, i)
	i.SetTo(m, channels[3], fit.Level{Amount: 96_500, Given: true})
	i.SetTo(m, channels[0], fit.Level{LEL: 61.7647, InLEL: true, Given: true})
	i.SetTo(m, channels[0], fit.Level{LEL: 61.8, InLEL: true, Given: true})
	if got := words(); got != "61.8 %LEL, 60 %vol, 45 %LEL, 96.5 ppm, 18 %vol" || len(i.SetValues) != 6 {
		t.Errorf("%s, %+v", got, i.SetValues)
	}
}

func TestWhenSetValuesWantToBeCompared(t *testing.T) {
	m, _ := fourGas(t)
	const today unit.Date = "2027-03-03"
	for _, tt := range []struct {
		confirmed, changed unit.Date
		want               string
	}{
		{"2027-03-03", "", ""}, {"2026-03-03", "", ""}, {"2027-03-03", "2027-03-03", ""}, {"2027-03-03", "2020-01-01", ""},
		{"2026-03-02", "", "last compared on 2 Mar 2026, more than 12 months ago"},
		{"2027-01-02", "2027-01-03", "not compared with the screens since set values, sensor or firmware changed or a repair on 3 Jan 2027"},
		{"2020-01-02", "2027-01-03", "not compared with the screens since set values, sensor or firmware changed or a repair on 3 Jan 2027"},
		{"", "2027-01-03", "not compared with the screens since set values, sensor or firmware changed or a repair on 3 Jan 2027"},
		{"", "", "not compared with the screens yet"},
	} {
		i := catalogue.Instrument{Code: "D-1", Model: "M4", SetValuesConfirmedOn: tt.confirmed, ChangedOn: tt.changed}
		got := catalogue.FitInstruments(map[string]catalogue.Model{"M4": m}, []catalogue.Instrument{i}, today, catalogue.DefaultSettings())
		if len(got) != 1 || got[0].Unconfirmed != tt.want {
			t.Errorf("%+v: %q, want %q", tt, got[0].Unconfirmed, tt.want)
		}
	}
	often := catalogue.DefaultSettings()
	often.ConfirmMonths = 1
	got := catalogue.FitInstruments(map[string]catalogue.Model{"M4": m}, []catalogue.Instrument{{Code: "D-1", Model: "M4", SetValuesConfirmedOn: "2027-02-01"}}, today, often)
	if got[0].Unconfirmed != "last compared on 1 Feb 2027, more than 1 month ago" {
		t.Errorf("%q", got[0].Unconfirmed)
	}
}

func TestInstrumentsThatAreAlikeStandTogether(t *testing.T) {
	m, _ := fourGas(t)
	models := map[string]catalogue.Model{"M4": m, "BARE": {Code: "BARE"}}
	fresh := func(code, model string) catalogue.Instrument {
		return catalogue.Instrument{Code: code, Model: model, SetValuesConfirmedOn: "2027-03-01"}
	}
	own, due, broken, changed := fresh("D-05", "M4"), fresh("D-06", "M4"), fresh("D-07", "M4"), fresh("D-08", "M4")
	own.SetValues = []catalogue.SetValue{{Component: "CO", SetValue: "98 ppm"}}
	due.FilterDueOn, broken.OutOfService, changed.ChangedOn = "2027-04-01", true, "2027-03-02"
	same := fresh("D-09", "M4")
	same.SetValues = []catalogue.SetValue{{Component: "CO", SetValue: "0.01 %vol"}} // what the model has, in other words
	list := []catalogue.Instrument{
		fresh("D-11", "M4"), changed, {Code: "N-1"}, {Code: "X-2", Model: "GONE"}, broken, fresh("B-1", "BARE"), same, due, own, fresh("D-10", "M4"), fresh("D-10", "M4"),
	}
	want := []string{" N-1,X-2 unknown", "BARE B-1 unknown", "M4 D-05", "M4 D-06 due", "M4 D-07 broken", "M4 D-08 changed", "M4 D-09,D-10,D-11"}
	rapid.Check(t, func(t *rapid.T) {
		var got []string
		for _, g := range catalogue.FitInstruments(models, rapid.Permutation(list).Draw(t, "list"), "2027-03-03", catalogue.DefaultSettings()) {
			words := g.Model + " " + strings.Join(g.Serials, ",")
			for word, is := range map[string]bool{" unknown": g.Channels == nil, " due": g.FilterDue != "", " broken": g.OutOfService, " changed": g.Unconfirmed != ""} {
				if is {
					words += word
				}
			}
			got = append(got, words)
		}
		if !slices.Equal(got, want) {
			t.Fatalf("%q, want %q", got, want)
		}
	})
}

// A channel is known by the formula that its component has now, whatever it was when the model was entered.
func TestChannelsHaveTheFormulasOfToday(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := testingRoom(t, s)
		made(t, r, &catalogue.Component{Code: "OX"})
		made(t, r, &catalogue.Model{Code: "OX-1", Channels: []catalogue.Channel{{Component: "OX", SetValue: "18 %vol"}}})
		made(t, r, &catalogue.Instrument{Code: "D-1", Model: "OX-1"})
		changed(t, r, "OX", &catalogue.Component{Formula: "O2"})
		models, _, err := catalogue.LoadInstruments(t.Context(), s, []string{"D-1"})
		if err != nil || models["OX-1"].Channels[0].Formula != "O2" {
			t.Errorf("%+v, %v", models, err)
		}
		fleet, err := catalogue.Fleet(t.Context(), s, "2027-03-03", catalogue.DefaultSettings())
		if err != nil || len(fleet) != 1 || fleet[0].Channels[0].Formula != "O2" {
			t.Errorf("%+v, %v", fleet, err)
		}
	})
}

func TestInstrumentsAreLoadedWithTheirModels(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := testingRoom(t, s)
		made(t, r, &catalogue.Model{Code: "OTHER"})
		for n := range 3 {
			made(t, r, &catalogue.Instrument{Code: fmt.Sprintf("D-%d", n), Model: "M4"})
		}
		changed(t, r, "D-1", &catalogue.Instrument{Model: "M4", FilterDueOn: "2027-04-01"})
		models, list, err := catalogue.LoadInstruments(t.Context(), s, []string{"D-2", "P-1", "D-1", "D-2"})
		if err != nil || len(models) != 1 || len(models["M4"].Channels) != 4 || len(list) != 3 {
			t.Fatalf("%+v, %+v, %v", models, list, err)
		}
		if list[0].Code != "D-2" || list[0].Version != 1 || list[1].Code != "P-1" || list[1].Version != 0 || list[1].Model != "" || list[2].FilterDueOn != "2027-04-01" || list[2].SetValuesConfirmedOn != "2027-03-03" {
			t.Errorf("%+v", list)
		}
		models, list, err = catalogue.LoadInstruments(t.Context(), s, nil)
		if err != nil || len(models) != 0 || len(list) != 0 {
			t.Errorf("%+v, %+v, %v", models, list, err)
		}
	})
}

func TestOnlyANewInstrumentCountsAsCompared(t *testing.T) { // R28
	r := newRoom(t, storetest.New(t))
	for code, order := range map[string]string{"NEW": `{"code":"NEW"}`, "CHANGED": `{"code":"CHANGED","changed_on":"2027-03-01"}`} {
		made(t, r, orderOf(t, "instruments", order))
		moved, err := r.Change(t.Context(), ada, code, orderOf(t, "instruments", `{"name":"moved","changed_on":"2027-03-01"}`))
		if err != nil {
			t.Fatal(err)
		}
		if got, want := moved.(*catalogue.Instrument).SetValuesConfirmedOn, map[string]unit.Date{"NEW": "2027-03-03"}[code]; got != want {
			t.Errorf("%s: compared on %q, want %q", code, got, want)
		}
	}
}

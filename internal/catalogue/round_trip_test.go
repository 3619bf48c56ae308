package catalogue_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/catalogue"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

// What Get answers can be sent back unchanged: it is taken, and what comes out differs by its version alone.
func TestAnswersCanBeSentBack(t *testing.T) {
	r := testingRoom(t, storetest.New(t))
	n := 0
	rapid.Check(t, func(rt *rapid.T) {
		n++
		code := fmt.Sprintf("%s%d", rapid.StringMatching(`[A-Za-z][A-Za-z0-9._-]{0,20}`).Draw(rt, "code"), n)
		sent := rapid.SampledFrom(makers).Draw(rt, "noun")(rt, code)
		made, err := r.Make(t.Context(), ada, sent.order)
		if err != nil {
			rt.Fatalf("%s: %v", asJSON(t, sent.order), err)
		}
		got, err := r.Get(t.Context(), nounAt(t, sent.plural), code)
		if err != nil || asJSON(t, got) != asJSON(t, made) {
			rt.Fatalf("made %s, got %s, %v", asJSON(t, made), asJSON(t, got), err)
		}
		back := orderOf(t, sent.plural, asJSON(t, got))
		again, err := r.Change(t.Context(), ada, code, back)
		if err != nil {
			rt.Fatalf("%s: %v", asJSON(t, got), err)
		}
		was, is := fieldsOf(t, got), fieldsOf(t, again)
		if was["version"] != 1.0 || is["version"] != 2.0 {
			rt.Fatalf("versions %v and %v", was["version"], is["version"])
		}
		delete(was, "version")
		delete(is, "version")
		if asJSON(t, was) != asJSON(t, is) {
			rt.Fatalf("%s became %s", asJSON(t, was), asJSON(t, is))
		}
	})
}

type sent struct {
	plural string
	order  catalogue.Order
}

var makers = []func(t *rapid.T, code string) sent{
	func(t *rapid.T, code string) sent {
		return sent{"components", &catalogue.Component{
			Code: code, Name: words(t), Formula: rapid.StringMatching(`[A-Z][a-z0-9]{0,8}`).Draw(t, "formula"), Adsorbs: rapid.Ptr(rapid.Bool(), true).Draw(t, "adsorbs"),
			CapMonths: maybe(t, 240), FallbackMonths: maybe(t, 240), OpenedDays: maybe(t, 3650), Note: "two\nlines",
		}}
	},
	func(t *rapid.T, code string) sent {
		gases := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"CH4", "O2", "CO", "H2S", "C3H8"}), 0, 5, rapid.ID).Draw(t, "gases")
		blend := &catalogue.Blend{Code: code, Name: words(t), Balance: "N2"}
		for _, gas := range gases {
			blend.Components = append(blend.Components, catalogue.BlendPart{Component: gas, Amount: amount(t)})
		}
		return sent{"blends", blend}
	},
	func(t *rapid.T, code string) sent {
		pack := rapid.Int64Range(1, 100).Draw(t, "pack")
		return sent{"items", &catalogue.Item{
			Code: code, Name: words(t), Kind: catalogue.Gas, Blend: "ZA", StoreCapMonths: maybe(t, 200),
			WaterVolume:  rapid.SampledFrom([]unit.Typed{"1.0 L", "1,7 L", "580 mL", "61 in3"}).Draw(t, "volume"),
			FillPressure: rapid.SampledFrom([]unit.Typed{"69 bar", "500 psi", "3500 kPa", "6.9 MPa"}).Draw(t, "pressure"),
			Cutoff:       rapid.SampledFrom([]unit.Typed{"", "2 bar", "29 psi"}).Draw(t, "cutoff"),
			Outlet:       rapid.SampledFrom([]string{"C-10", "cga 600", "DIN 477 14", "C10"}).Draw(t, "outlet"),
			Refillable:   rapid.Bool().Draw(t, "refillable"),
			Sources: []catalogue.Source{{Supplier: "northbank", Article: "00417", GTIN: rapid.SampledFrom([]string{"", "95200002", "952123454324", "9521234543213", "1952123 4543210"}).Draw(t, "gtin"), Pack: pack, MOQ: pack * rapid.Int64Range(0, 9).Draw(t, "packs"),
				Price: rapid.SampledFrom([]unit.Typed{"", "78.00 EUR", "5 GBP"}).Draw(t, "price")}},
		}}
	},
	func(t *rapid.T, code string) sent {
		return sent{"items", &catalogue.Item{Code: code, Kind: rapid.SampledFrom(catalogue.ItemKinds()[1:]).Draw(t, "kind")}}
	},
	func(t *rapid.T, code string) sent {
		return sent{"procedures", &catalogue.Procedure{
			Code: code, Purpose: rapid.SampledFrom(catalogue.Purposes()).Draw(t, "purpose"), Blend: "ZA", Flow: "300 mL/min", Duration: "75 s",
			Conditioning: rapid.SampledFrom([]unit.Typed{"", "5 min"}).Draw(t, "conditioning"), Step: maybe(t, 99),
			Consumables: []catalogue.Consumable{{Item: "FILTER", Count: rapid.Float64Range(0.001, 1000).Draw(t, "count")}},
		}}
	},
	func(t *rapid.T, code string) sent {
		regulator := &catalogue.Regulator{Code: code, Inlet: "C-10", MaxPressure: "1500 psi", Mode: catalogue.DemandFlow, Place: "BENCH", CheckDueOn: "5 Apr 2027", LastGas: "CO",
			DueAfterUses: maybe(t, 100_000), RatingAbsolute: rapid.Bool().Draw(t, "absolute"), Vented: rapid.Bool().Draw(t, "vented"), OutOfService: rapid.Bool().Draw(t, "out")}
		if rapid.Bool().Draw(t, "adapted") {
			regulator.Adapter = &catalogue.Adapter{From: "600", To: "c10", MaxPressure: "69 bar"}
		}
		return sent{"regulators", regulator}
	},
	func(t *rapid.T, code string) sent {
		return sent{"caps", &catalogue.Cap{Code: code, Name: words(t), Models: rapid.SampledFrom([][]string{nil, {"M4"}}).Draw(t, "models"), CheckDueOn: "04/2027", DueAfterUses: maybe(t, 100)}}
	},
	func(t *rapid.T, code string) sent {
		return sent{"instruments", &catalogue.Instrument{Code: code, Model: "M4", SetValuesConfirmedOn: rapid.SampledFrom([]unit.Date{"", "3 Mar 2027", "2020-02-29"}).Draw(t, "confirmed"),
			ChangedOn: "2027-03-01", FilterDueOn: "04/2028", SetValues: []catalogue.SetValue{{Component: "CH4", SetValue: level(t)}, {Component: " CO ", SetValue: "98 ppm"}}}}
	},
	model,
	func(t *rapid.T, code string) sent {
		return sent{"rounds", &catalogue.Round{Code: code, Instruments: rapid.SliceOfNDistinct(rapid.StringMatching(`D-[0-9]{3}`), 0, 5, rapid.ID).Draw(t, "instruments"),
			Tests: []catalogue.RoundTest{{Procedure: "bump", TimesPerWeek: rapid.Float64Range(0, 100).Draw(t, "times")}}}}
	},
}

func model(t *rapid.T, code string) sent {
	m := &catalogue.Model{Code: code, Name: words(t), Sampling: rapid.SampledFrom([]string{"", " pumped "}).Draw(t, "sampling"), FlowMax: "1 L/min", Vent: words(t), Reasons: map[string]string{"R19": " page 40 "}}
	for i, gas := range rapid.SliceOfN(rapid.SampledFrom([]string{"CH4", "C3H8", "nC5H12"}), 0, 4).Draw(t, "gases") {
		channel := catalogue.Channel{Component: gas, Name: fmt.Sprint("channel ", i), SetValue: level(t), Range: "100 %LEL", LELBasis: words(t),
			LEL: rapid.SampledFrom([]unit.Typed{"", "5 %vol"}).Draw(t, "lel"), T90: "15 s", Sensor: rapid.SampledFrom(append(catalogue.Sensors(), "")).Draw(t, "sensor")}
		if rapid.Bool().Draw(t, "factored") {
			factor := rapid.Float64Range(0.01, 100).Draw(t, "factor")
			channel.ShownGas, channel.Factor, channel.FactorReading = "nC6H14", &factor, "relative_response"
		}
		m.Channels = append(m.Channels, channel)
	}
	if len(m.Channels) > 0 {
		m.CrossSensitivities = []catalogue.CrossSensitivity{{Channel: m.Channels[0].Component, Gases: []string{"H2S", "CO"}, Interferes: rapid.Bool().Draw(t, "interferes")}}
	}
	return sent{"models", m}
}

func level(t *rapid.T) unit.Typed {
	return unit.Typed(fmt.Sprintf("%d.%d %%LEL", rapid.IntRange(0, 99).Draw(t, "level"), rapid.IntRange(1, 9).Draw(t, "tenths")))
}

func words(t *rapid.T) string { return rapid.StringMatching(`[ a-zäé<>&"]{0,30}`).Draw(t, "words") }

func maybe(t *rapid.T, most int64) *int64 {
	return rapid.Ptr(rapid.Int64Range(1, most), true).Draw(t, "number")
}

func amount(t *rapid.T) unit.Typed {
	return unit.Typed(fmt.Sprintf("%d %s", rapid.IntRange(1, 19).Draw(t, "amount"), rapid.SampledFrom([]string{"%vol", "ppm", "ppb"}).Draw(t, "unit")))
}

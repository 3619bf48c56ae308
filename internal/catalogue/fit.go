package catalogue

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"spanroom/internal/fit"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// FitPolicy gives the site's figures for the gas and fittings check.
func FitPolicy(s Settings) fit.Policy {
	const reference, zeroC = 294.15, 273.15 // fills are stated at 21 °C
	return fit.Policy{
		MatchPct: s.MatchTolerancePct, MatchOxygenVol: s.MatchOxygenVolPct, BumpMargin: s.BumpMargin, CatalyticOxygen: s.CatalyticOxygenVolPct,
		FlowPct: s.FlowTolerancePct, PumpMargin: s.PumpMargin, LineWaitSPerM: s.LineWaitSPerM,
		RatingMargin: s.RatingMargin, HotFactor: (s.HotC + zeroC) / reference,
	}
}

// LoadInstruments gives the instruments of these serials as they are now, each once and in their order, with the models that
// they have. A serial that is not in the catalogue comes as an instrument of which nothing but its code is known.
func LoadInstruments(ctx context.Context, s *store.Store, serials []string) (map[string]Model, []Instrument, error) {
	known, err := byCode[Instrument](ctx, s, "instrument", serials)
	if err != nil {
		return nil, nil, err
	}
	var list []Instrument
	var codes []string
	seen := map[string]bool{}
	for _, serial := range serials {
		if seen[serial] {
			continue
		}
		seen[serial] = true
		i, there := known[serial]
		if !there {
			i = Instrument{Code: serial}
		}
		list = append(list, i)
		if i.Model != "" && !slices.Contains(codes, i.Model) {
			codes = append(codes, i.Model)
		}
	}
	models, err := byCode[Model](ctx, s, "model", codes)
	if err != nil {
		return nil, nil, err
	}
	return models, list, nameFormulas(ctx, s, models)
}

// nameFormulas gives the channels of models the formulas that their components have now: a component may have got another one
// since the model was entered, and the first release entered none.
func nameFormulas(ctx context.Context, s *store.Store, models map[string]Model) error {
	var codes []string
	for _, m := range models {
		for _, ch := range m.Channels {
			codes = append(codes, ch.Component)
		}
	}
	slices.Sort(codes)
	formulas, err := s.Formulas(ctx, slices.Compact(codes))
	if err != nil {
		return err
	}
	for _, m := range models {
		for i := range m.Channels {
			m.Channels[i].Formula = formulas[m.Channels[i].Component]
		}
	}
	return nil
}

// byCode reads the documents of several things of a noun.
func byCode[T any](ctx context.Context, s *store.Store, noun string, codes []string) (map[string]T, error) {
	things := map[string]T{}
	if len(codes) == 0 {
		return things, nil
	}
	docs, err := s.LatestDocs(ctx, noun, codes)
	if err != nil {
		return nil, err
	}
	for code, doc := range docs {
		var thing T
		if err := decode(noun, doc, &thing); err != nil {
			return nil, err
		}
		things[code] = thing
	}
	return things, nil
}

// FitInstruments puts together instruments that one verdict holds for: of one model, set alike, and alike in what has to be
// done to them. The groups stand in the order of their models and first serials, the serials in theirs.
func FitInstruments(models map[string]Model, list []Instrument, today unit.Date, s Settings) []fit.Instruments {
	var groups []fit.Instruments
	at := map[string]int{}
	made := map[string]fit.Instruments{} // of each model, as it is made
	for _, i := range list {
		as, known := made[i.Model]
		if !known {
			as = fitModel(models[i.Model])
			made[i.Model] = as
		}
		one := fitInstrument(as, models[i.Model], i, today, s)
		alike := fmt.Sprintf("%s|%s|%s|%s|%v", one.Model, ownValues(as.Channels, one.Channels), one.Unconfirmed, one.FilterDue, one.OutOfService)
		n, there := at[alike]
		if !there {
			n = len(groups)
			at[alike] = n
			groups = append(groups, one)
		}
		if !slices.Contains(groups[n].Serials, i.Code) {
			groups[n].Serials = append(groups[n].Serials, i.Code)
		}
	}
	for _, g := range groups {
		slices.Sort(g.Serials)
	}
	slices.SortFunc(groups, func(a, b fit.Instruments) int {
		return cmp.Or(cmp.Compare(a.Model, b.Model), cmp.Compare(a.Serials[0], b.Serials[0]))
	})
	return groups
}

// ownValues tells apart instruments by the set values that are not those of their model.
func ownValues(model, channels []fit.Channel) string {
	own := ""
	for n, ch := range channels {
		if ch.Set != model[n].Set {
			own += fmt.Sprintf("%d:%+v ", n, ch.Set)
		}
	}
	return own
}

// fitModel gives an instrument as its model is made. A model that is not known has no code.
func fitModel(m Model) fit.Instruments {
	one := fit.Instruments{
		Model: m.Code, Channels: ModelChannels(m, Instrument{}), Sampling: fit.Sampling(m.Sampling),
		FlowMin: kept(m.FlowMin, unit.ParseFlow), FlowMax: kept(m.FlowMax, unit.ParseFlow), FlowOne: kept(m.Flow, unit.ParseFlow), PumpFlow: kept(m.PumpFlow, unit.ParseFlow),
		NitrogenZero: m.ZeroGas == zeroNitrogen, MaySet: m.SetValuesAdjustable, Connected: m.Connected,
	}
	for _, line := range m.CrossSensitivities {
		one.Cross = append(one.Cross, fit.Cross{Channel: line.Channel, Gases: line.Gases, Interferes: line.Interferes})
	}
	return one
}

// fitInstrument gives one instrument, without its serial, from one as its model is made.
func fitInstrument(as fit.Instruments, m Model, i Instrument, today unit.Date, s Settings) fit.Instruments {
	if len(i.SetValues) > 0 {
		as.Channels = ModelChannels(m, i)
	}
	as.FilterDue, as.OutOfService = i.FilterDueOn, i.OutOfService
	if len(as.Channels) > 0 {
		as.Unconfirmed = unconfirmed(i, today, s)
	}
	return as
}

// unconfirmed says why the set values of an instrument have to be compared with its screen again, or "" (R28).
func unconfirmed(i Instrument, today unit.Date, s Settings) string {
	last := i.SetValuesConfirmedOn
	switch {
	case i.ChangedOn != "" && last < i.ChangedOn:
		return fmt.Sprintf("not compared with the screens since set values, sensor or firmware changed or a repair on %s", i.ChangedOn.Words())
	case last == "":
		return "not compared with the screens yet"
	case last.AddMonths(int(s.ConfirmMonths)) < today:
		return fmt.Sprintf("last compared on %s, more than %s ago", last.Words(), plain(s.ConfirmMonths, "month"))
	}
	return ""
}

// plain counts in words: 1 month, 12 months.
func plain(n int64, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

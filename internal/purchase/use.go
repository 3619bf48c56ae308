package purchase

import (
	"fmt"

	"spanroom/internal/catalogue"
	"spanroom/internal/demand"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// scheduled gives what the rounds ask of each blend, and says of what it could not tell the blend.
func (k *known) scheduled() (byBlend map[int64][]demand.Scheduled, unclear []string) {
	byBlend = map[int64][]demand.Scheduled{}
	for _, r := range k.rounds {
		session := map[int64]float64{} // litres a session, by blend
		for _, t := range r.Tests {
			p := k.procedures[t.Procedure]
			if p.BlendID == nil {
				unclear = append(unclear, fmt.Sprintf("Procedure %s of round %s names no blend, so its gas is not planned.", t.Procedure, r.Code))
				continue
			}
			flow := p.Flow.LitresPerMinute()
			byBlend[*p.BlendID] = append(byBlend[*p.BlendID], demand.Scheduled{
				LitresPerTest: flow * p.Duration.Minutes() * (1 + k.settings.RetryPct/100),
				TestsPerWeek:  t.TimesPerWeek, Instruments: len(r.Instruments),
			})
			session[*p.BlendID] = max(session[*p.BlendID], p.Purge.Litres()+flow*p.Conditioning.Minutes())
		}
		for blend, litres := range session {
			byBlend[blend] = append(byBlend[blend], demand.Scheduled{PurgeL: litres, SessionsPerWeek: r.SessionsPerWeek})
		}
	}
	return byBlend, unclear
}

// pastUse sorts past use by item and day, and turns it into litres, pieces or metres.
func pastUse(rows []store.Used, items []models.Item, settings catalogue.Settings) map[int64][]demand.Use {
	byID := make(map[int64]models.Item, len(items))
	for _, i := range items {
		byID[i.ID] = i
	}
	type key struct {
		item int64
		day  unit.Date
	}
	at := map[key]int{}
	past := map[int64][]demand.Use{}
	for _, row := range rows {
		on := key{row.ItemID, settings.Today(row.HappenedAt.Time())}
		i, known := at[on]
		if !known {
			i = len(past[on.item])
			at[on] = i
			past[on.item] = append(past[on.item], demand.Use{On: on.day})
		}
		past[on.item][i].Litres += taken(byID[on.item], row.Quantity)
		past[on.item][i].Tests += int(row.Tests)
	}
	return past
}

func taken(item models.Item, quantity int64) float64 {
	if item.Kind == catalogue.Gas {
		return unit.Volume(quantity).Litres()
	}
	return counted(item, quantity)
}

// forecast looks at the schedule and history of an item. They are in litres for gas, which full turns into cylinders.
func (k *known) forecast(item models.Item, schedule []demand.Scheduled, history []demand.Use, full float64) (Forecast, demand.Forecast) {
	opts := demand.DefaultOptions
	opts.DifferLimit, opts.SparseTests = k.settings.DifferLimit, float64(k.settings.SparseTestsPerQuarter)
	opts.WindowWeeks = int(k.settings.HistoryWeeks)
	per := 1.0
	switch {
	case item.Kind == catalogue.Gas && full > 0:
		per = 1 / full
	case item.Kind == catalogue.Gas:
		per = 0
	case item.CountedIn == catalogue.InMetres:
		opts.Unit = "m"
	default:
		opts.Unit = ""
	}
	f := demand.Make(schedule, history, k.today, opts)
	out := Forecast{
		PerWeek: f.PerWeek * per, SD: f.SD * per, Schedule: f.Schedule * per, History: f.History * per,
		Used: f.Used, Weeks: f.Weeks, Sentence: f.Sentence,
	}
	if item.Kind == catalogue.Gas {
		out.LitresPerUnit = full
	}
	return out, f
}

package purchase

import (
	"fmt"
	"slices"
	"strconv"

	"spanroom/internal/catalogue"
	"spanroom/internal/demand"
	"spanroom/internal/problem"
	"spanroom/internal/reorder"
	"spanroom/models"
)

// outline is what the lines of all items need to know of one another: which item carries the use of a blend.
type outline struct {
	schedule map[int64][]demand.Scheduled // by blend
	carrier  map[int64]models.Item        // of each scheduled blend
	usable   map[int64]float64            // litres on hand that are not held, by item
}

// line plans one item; false where it has no source, no stock and no use.
func (k *known) line(item models.Item, o outline) (Line, bool) {
	full, findings := k.full(item)
	lots := k.onHand(item, full)
	forecast, told := k.forecast(item, o.scheduleOf(item), k.history(item, o), full)
	sources := k.sources[item.ID]
	if len(sources) == 0 && len(lots) == 0 && forecast.PerWeek == 0 {
		return Line{}, false
	}
	q := reorder.Question{
		Item: item.Code, Unit: item.CountedIn, Today: k.today, PerWeek: forecast.PerWeek, SD: forecast.SD, Lots: k.stock(lots),
	}
	line := Line{
		Key: item.Code, Item: item.Code, Name: item.Name, Kind: item.Kind, Unit: item.CountedIn,
		Size: size(item), Outlet: item.Outlet, Components: []string{}, Forecast: forecast,
	}
	if item.BlendID != nil {
		line.Components = slices.Clone(k.mixtures[*item.BlendID].words)
	}
	codes := map[string]string{}
	for i, s := range sources {
		source := k.source(item, s)
		codes[source.SupplierName] = source.Supplier
		if i == 0 {
			line.Source, q.Terms = &source, k.terms(source)
			continue
		}
		q.Others = append(q.Others, k.terms(source))
	}
	line.take(reorder.Plan(q), lots)
	if line.Decide != nil {
		for i := range line.Decide.Options {
			line.Decide.Options[i].Supplier = codes[line.Decide.Options[i].Supplier]
		}
	}
	more := slices.Concat(line.Findings, told.Findings, findings, k.shared(item, o))
	line.Findings = problem.Sort(append([]problem.Finding{}, more...))
	return line, true
}

// take fills in what the plan says.
func (l *Line) take(p reorder.Line, lots []Lot) {
	l.State, l.OnHand, l.Usable, l.WillExpire, l.OnOrder = p.State, p.OnHand, p.Usable, p.WillExpire, p.OnOrder
	l.Level, l.OrderBy, l.NeededBy, l.RunsOut = p.Level, p.OrderBy, p.NeededBy, p.RunsOut
	l.Proposed, l.ProposedPacks, l.Cost, l.QMax = p.Proposed, p.ProposedPacks, p.Cost, p.QMax
	l.ExpectedWaste = Waste{p.ExpectedWaste.Units, p.ExpectedWaste.Money}
	l.Why, l.Findings = p.Why, p.Findings
	if p.Fresh != nil {
		fresh := Fresh(*p.Fresh)
		l.Fresh = &fresh
	}
	if p.Decide != nil {
		l.Decide = &Decide{Why: p.Decide.Why}
		for _, o := range p.Decide.Options {
			l.Decide.Options = append(l.Decide.Options, Option(o))
		}
	}
	l.Held = make([]Held, 0, len(p.Held))
	for _, h := range p.Held {
		l.Held = append(l.Held, Held(h))
	}
	l.Projection = make([]Point, 0, len(p.Projection))
	for _, point := range p.Projection {
		l.Projection = append(l.Projection, Point(point))
	}
	l.Lots = append([]Lot{}, lots...)
	fates := p.Lots // of the lots that are counted, in their order
	for i := range l.Lots {
		if l.Lots[i].Held == "" && len(fates) > 0 {
			l.Lots[i].Used, l.Lots[i].WillExpire = fates[0].Used, fates[0].WillExpire
			fates = fates[1:]
		}
	}
}

// size says a cylinder's size as it is ordered: "1.7 L, 69 bar".
func size(item models.Item) string {
	if item.Kind != catalogue.Gas {
		return ""
	}
	short := func(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }
	return short(item.WaterVolume.Litres()) + " L, " + short(item.FillPressure.Bar()) + " bar"
}

func (o outline) scheduleOf(item models.Item) []demand.Scheduled {
	if item.BlendID == nil || o.carrier[*item.BlendID].ID != item.ID {
		return nil
	}
	return o.schedule[*item.BlendID]
}

// history is the past use of an item. Where a schedule is planned on one item of a blend, that one answers for the use of all
// of them, and the others for none.
func (k *known) history(item models.Item, o outline) []demand.Use {
	if item.BlendID == nil {
		return k.past[item.ID]
	}
	carrier, scheduled := o.carrier[*item.BlendID]
	switch {
	case !scheduled:
		return k.past[item.ID]
	case carrier.ID != item.ID:
		return nil
	}
	var all []demand.Use
	for _, other := range k.items {
		if other.BlendID != nil && *other.BlendID == *item.BlendID {
			all = append(all, k.past[other.ID]...)
		}
	}
	return all
}

// shared notes where the use of a blend is planned when there are several items of it.
func (k *known) shared(item models.Item, o outline) []problem.Finding {
	if item.BlendID == nil {
		return nil
	}
	carrier, scheduled := o.carrier[*item.BlendID]
	if !scheduled {
		return nil
	}
	note := problem.Finding{Rule: "R46", Severity: problem.Note, Subject: item.Code}
	if carrier.ID != item.ID {
		note.Text = fmt.Sprintf("the scheduled use of its blend is planned on %s", carrier.Code)
		note.Advice = "its own stock is extra; use it up first if it expires earlier"
		return []problem.Finding{note}
	}
	var found []problem.Finding
	for _, other := range k.items {
		if other.ID == item.ID || other.BlendID == nil || *other.BlendID != *item.BlendID || o.usable[other.ID] == 0 {
			continue
		}
		one := note
		one.Text = fmt.Sprintf("%s holds %.0f L more of the same blend, which this line does not count", other.Code, o.usable[other.ID])
		one.Advice = "order less if that size serves as well"
		found = append(found, one)
	}
	return found
}

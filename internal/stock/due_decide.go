package stock

import (
	"cmp"
	"slices"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// due judges every line of every schedule once, and keeps the part of them that is asked for.
func (f schedules) due(q DueQuestion) DueAnswer {
	a := DueAnswer{On: q.On, Rows: []DueRow{}}
	for _, i := range f.instruments {
		if q.Place != "" && i.Place != q.Place || q.Model != "" && i.Model != q.Model || len(i.Schedule) == 0 {
			continue
		}
		if i.OutOfService {
			a.Counts.OutOfService++
			a.Monitors.OutOfService++
			continue
		}
		worst := InOrder
		for _, line := range i.Schedule {
			row := f.row(i, line)
			row.judge(q.On, int(f.settings.DueAheadDays))
			a.Counts.add(row.State)
			worst = worse(worst, row.State)
			if row.State == q.State || q.State == "" && row.State != InOrder {
				a.Rows = append(a.Rows, row)
			}
		}
		a.Monitors.add(worst)
	}
	slices.SortFunc(a.Rows, func(x, y DueRow) int { return slices.Compare(x.place(), y.place()) })
	a.Groups = groupsOf(a.Rows)
	a.cut(q)
	return a
}

// row is a line of a schedule with the last test of it.
func (f schedules) row(i catalogue.Instrument, line catalogue.Schedule) DueRow {
	p := f.procedures[line.Procedure]
	last := f.last[testedBy{i.Code, p.ID}]
	row := DueRow{
		Instrument: i.Code, Model: i.Model, Place: i.Place, Procedure: line.Procedure, Purpose: Purpose(p.Purpose), EveryDays: line.EveryDays,
		LastOn: f.dayOf(last.HappenedAt), LastResult: resultOf(last), PassedOn: f.dayOf(last.PassedAt), sampling: f.sampling[i.Model],
	}
	if p.BlendID != nil {
		row.blend = f.blends[*p.BlendID]
	}
	return row
}

// dayOf is the day of a moment at the site; "" for none.
func (m moment) dayOf(at unit.Instant) unit.Date {
	if at == 0 {
		return ""
	}
	return m.settings.Today(at.Time())
}

func resultOf(t store.LastTest) string {
	if t.Result == Pass && !t.Valid {
		return DoesNotCount
	}
	return t.Result
}

// judge says how a test stands. It is due so many days after the last pass that counts, and at once where it was done since and
// did not pass, or does not count; one that failed is failed, whatever the day.
func (row *DueRow) judge(on unit.Date, ahead int) {
	if row.LastResult == Fail {
		row.State = Failed
	}
	if row.PassedOn == "" {
		row.State = cmp.Or(row.State, Never)
		return
	}
	row.DueOn = row.PassedOn.AddDays(int(row.EveryDays))
	if row.LastResult != Pass {
		row.DueOn = min(row.DueOn, row.LastOn)
	}
	days := on.DaysUntil(row.DueOn)
	row.Days = &days
	switch {
	case row.State == Failed:
	case days < 0:
		row.State = Overdue
	case days <= ahead:
		row.State = DueSoon
	default:
		row.State = InOrder
	}
}

// Words says the state with the days that make it.
func (row DueRow) Words() string {
	switch {
	case row.State == Failed:
		return "failed " + row.LastOn.Words()
	case row.State == Never:
		return "never passed"
	case row.State == Overdue:
		return days(-*row.Days) + " overdue"
	case *row.Days == 0:
		return "due today"
	}
	return "due in " + days(*row.Days)
}

func (c *DueCounts) add(state string) {
	switch state {
	case Failed:
		c.Failed++
	case Never:
		c.Never++
	case Overdue:
		c.Overdue++
	case DueSoon:
		c.Due++
	default:
		c.OK++
	}
}

func worse(a, b string) string {
	return dueStates[min(slices.Index(dueStates, a), slices.Index(dueStates, b))]
}

// placeInList parts what a row is found by; no code has it.
const placeInList = "~"

// place is where a row stands in the list: what failed stands above all places, for it is still in use.
func (row DueRow) place() []string {
	part := "2"
	if row.State == Failed {
		part = "1"
	}
	return []string{part, row.Place, string(row.DueOn), row.Instrument, row.Procedure}
}

// cut leaves the part of the rows that was asked for. It begins after a row and not at a number: what is tested meanwhile
// leaves the list and shifts nothing.
func (a *DueAnswer) cut(q DueQuestion) {
	if q.After != "" {
		after := strings.Split(q.After, placeInList)
		a.Rows = slices.DeleteFunc(a.Rows, func(row DueRow) bool { return slices.Compare(row.place(), after) <= 0 })
	}
	if len(a.Rows) > q.Limit {
		a.Rows = a.Rows[:q.Limit]
		a.Next = strings.Join(a.Rows[q.Limit-1].place(), placeInList)
	}
}

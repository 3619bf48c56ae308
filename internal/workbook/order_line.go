package workbook

import (
	"fmt"
	"math"
	"strings"

	"spanroom/internal/purchase"
	"spanroom/internal/reorder"
	"spanroom/internal/unit"
)

// orderLine is one line of the order sheet with the figures that its formulas come to.
type orderLine struct {
	purchase.Line
	policy purchase.Policy
	today  unit.Date
}

// qty is what stands in the purchaser's cell to begin with: what is proposed, and nothing where she must decide or wait.
func (l orderLine) qty() float64 { return float64(l.Proposed) }

// fresh is how much of the purchaser's quantity is used before it expires.
func (l orderLine) fresh() float64 {
	if l.Fresh == nil {
		return l.qty()
	}
	return min(l.qty(), l.Fresh.UsedInTime)
}

func (l orderLine) expire() float64 { return l.WillExpire + l.qty() - l.fresh() }

func (l orderLine) after() float64 { return (l.Usable + l.OnOrder + l.fresh()) / l.Forecast.PerWeek }

// level is the reorder level as the sheet works it out; the plan gives none where there is no use or no supplier.
func (l orderLine) level() float64 {
	s := l.Source
	return reorder.Level(l.Forecast.PerWeek, l.Forecast.SD, week(s.LeadDays), week(s.LeadSDDays), week(l.policy.ReviewDays), l.policy.Service)
}

func (l orderLine) most() int {
	return reorder.Cap(l.Forecast.PerWeek, l.Fresh.LifeWeeks, l.Fresh.OlderWeeks, week(l.Source.LeadDays), week(l.policy.ReserveDays))
}

func week(days int) float64 { return float64(days) / 7 }

// check is the verdict on the purchaser's quantity, in the order of the formula.
func (l orderLine) check() string {
	switch {
	case l.State == reorder.ToDecide:
		return "decide"
	case l.Usable+l.OnOrder+l.fresh() < l.level()-slack:
		return "below service"
	case l.Fresh != nil && l.Proposed > l.most():
		return "more than is used in time"
	case l.Proposed%l.Source.Pack != 0:
		return "not whole multiples"
	case l.Proposed > 0 && l.Proposed < l.Source.MOQ:
		return "below MOQ"
	}
	return "ok"
}

// slack is less than any quantity; it keeps a level that is just met from counting as missed.
const slack = 1e-6

func (l orderLine) checkFormula() string {
	rules := []string{
		fmt.Sprintf(`[usable]+[order]+%s<[level]-1E-6,"below service"`, l.freshFormula()),
		`MOD([qty],[pack])<>0,"not whole multiples"`,
		`AND([qty]>0,[qty]<[moq]),"below MOQ"`,
	}
	if l.Fresh != nil {
		rules = append(rules[:1], append([]string{`[qty]>[most],"more than is used in time"`}, rules[1:]...)...)
	}
	if l.State == reorder.ToDecide {
		rules = append([]string{`ISBLANK([qty]),"decide"`}, rules...)
	}
	return "IF(" + strings.Join(rules, ",IF(") + `,"ok"` + strings.Repeat(")", len(rules))
}

func (l orderLine) freshFormula() string {
	if l.Fresh == nil {
		return "[qty]"
	}
	return "MIN([qty]+0," + inTimeFormula + ")" // plus nothing, because MIN passes over an empty cell
}

// cells gives the line cell by cell. sum makes the formula that adds up a column of the stock sheet for this line.
func (l orderLine) cells(sum func(column string) string) map[string]cell {
	cells := map[string]cell{
		"key": {value: l.Key}, "product": {value: product(l.Line)}, "components": {value: strings.Join(l.Components, ", ")},
		"size": {value: l.Size}, "outlet": {value: l.Outlet}, "by": {value: date(l.OrderBy)}, "needed": {value: date(l.NeededBy)},
		"proposed": {value: l.Proposed}, "unit": {value: l.Unit},
		"usable": {formula: sum("used"), value: l.Usable}, "order": {value: l.OnOrder},
		"use": {value: l.Forecast.PerWeek}, "spread": {value: l.Forecast.SD},
		"expire": {formula: sum("expire"), value: l.WillExpire},
		"why":    {value: l.reason()}, "confidence": {value: l.Forecast.Sentence},
	}
	if l.Proposed > 0 {
		cells["qty"] = cell{value: l.Proposed}
	}
	switch {
	case l.Source != nil:
		l.bought(cells, sum)
	case l.State == reorder.ToDecide:
		cells["check"] = cell{value: "decide"}
	}
	if l.Forecast.PerWeek > 0 {
		cells["now"] = cell{formula: nowFormula, value: (l.Usable + l.OnOrder) / l.Forecast.PerWeek}
		cells["after"] = cell{formula: fmt.Sprintf(afterFormula, l.freshFormula()), value: l.after()}
		days := math.Floor(min(7*l.after(), 36500) + 1e-6)
		cells["until"] = cell{formula: untilFormula, value: serial(l.today) + days}
	}
	return cells
}

// bought fills in what rests on the supplier's terms.
func (l orderLine) bought(cells map[string]cell, sum func(column string) string) {
	s := l.Source
	cells["supplier"], cells["article"] = cell{value: s.SupplierName}, cell{value: s.Article}
	cells["pack"], cells["moq"] = cell{value: s.Pack}, cell{value: s.MOQ}
	cells["price"], cells["currency"] = cell{value: amount(s.Price)}, cell{value: s.Price.Currency}
	cells["cost"] = cell{formula: costFormula, value: amount(l.worth(l.qty()))}
	cells["waste"] = cell{formula: wasteFormula, value: amount(l.worth(l.expire()))}
	if s.LeadDays == 0 { // not entered: there is no level, and nothing to hold a quantity against
		cells["check"] = cell{value: "decide"}
		return
	}
	cells["lead"] = cell{formula: leadFormula, value: week(s.LeadDays)}
	cells["late"] = cell{formula: lateFormula, value: week(s.LeadSDDays)}
	cells["level"] = cell{formula: levelFormula, value: l.level()}
	cells["check"] = cell{formula: l.checkFormula(), value: l.check()}
	if f := l.Fresh; f != nil {
		cells["life"], cells["older"] = cell{value: f.LifeWeeks}, cell{value: f.OlderWeeks}
		cells["most"] = cell{formula: mostFormula, value: l.most()}
		cells["expire"] = cell{formula: sum("expire") + "+MAX(0,[qty]-" + inTimeFormula + ")", value: l.expire()}
	}
}

// worth prices units by the order multiple.
func (l orderLine) worth(units float64) unit.Money {
	return l.Source.Price.Share(units / float64(l.Source.Pack))
}

// reason is the plan's own sentence, and after it the notes that a purchaser acts on.
func (l orderLine) reason() string {
	reason := l.Why
	for _, f := range l.Findings {
		if f.Rule == "R50" || f.Rule == "R47" {
			reason += "; " + f.Text
		}
	}
	return reason
}

func product(l purchase.Line) string {
	if l.Name == "" || l.Name == l.Item {
		return l.Item
	}
	return l.Item + ", " + l.Name
}

// date gives midnight UTC of a date, because a cell keeps the clock on the wall and no zone; nothing for none.
func date(d unit.Date) any {
	if d == "" {
		return nil
	}
	return d.Time()
}

// serial is the number that a sheet keeps for a date: the days since 30 December 1899.
func serial(d unit.Date) float64 { return float64(unit.Date("1899-12-30").DaysUntil(d)) }

// amount is money as a number with its cents.
func amount(m unit.Money) float64 { return float64(m.Minor) / 100 }

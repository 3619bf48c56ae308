package stock

import (
	"context"
	"encoding/json"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// Checkout is one outing of a cylinder, from take to return, with what was decided and by which settings.
type Checkout struct {
	CheckoutLine
	Holder      string       `json:"holder"`
	ItemName    string       `json:"item_name"`
	Tests       []TestOrder  `json:"tests"` // planned
	Regulator   string       `json:"regulator"`
	Tubing      string       `json:"tubing"`
	Cap         string       `json:"cap"`
	ReturnedTo  string       `json:"returned_to"` // the place, "" while it is out
	SetLeftOn   bool         `json:"set_left_on"` // the regulator set stayed on the cylinder
	LabelValues []string     `json:"label_values"`
	Balance     string       `json:"balance"`
	Usable      UsableAnswer `json:"usable"` // as it went out, for the purpose
	UseByDate
	Logged          []TestAnswer       `json:"logged"`
	Progress        Progress           `json:"progress"`
	OnHold          []HoldAnswer       `json:"holds"`
	MeasuredL       *float64           `json:"measured_l"` // null while it is out, and where nothing could be measured
	ExpectedL       float64            `json:"expected_l"`
	ThresholdL      float64            `json:"threshold_l"`
	Out             Reading            `json:"out"`
	In              *Reading           `json:"in"`
	Explained       Explained          `json:"explained"`
	Settings        catalogue.Settings `json:"settings"` // of the day of the check-out
	SettingsVersion int64              `json:"settings_version"`
	MayReturn       bool               `json:"may_return"` // the person who asks
	Version         int64              `json:"version"`
}

// Reading is a pressure with how it was read.
type Reading struct {
	PressureBar  float64  `json:"pressure_bar"`
	TemperatureC *float64 `json:"temperature_c"`
	Gauge        string   `json:"gauge"`
	Source       string   `json:"source"`
}

func readingOf(p unit.Pressure, t unit.Temperature, gauge, source string) Reading {
	r := Reading{PressureBar: p.Bar(), Gauge: gauge, Source: source}
	if t != 0 {
		celsius := t.Celsius()
		r.TemperatureC = &celsius
	}
	return r
}

// Checkout tells everything about one check-out.
func (r Room) Checkout(ctx context.Context, by auth.Person, id int64) (Checkout, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return Checkout{}, err
	}
	o, err := loadOuting(ctx, r.Store, m, id)
	if err != nil {
		return Checkout{}, err
	}
	c := o.answer(by)
	if err := json.Unmarshal([]byte(o.row.Explained), &c.Explained); err != nil {
		return c, err
	}
	if back := c.Explained.Return; back != nil {
		c.MeasuredL = back.MeasuredL
		in := readingOf(o.row.InPressure, o.row.InTemperature, o.row.InGauge, back.Reading.PressureSource)
		c.In = &in
	}
	c.Settings, err = catalogue.SettingsAt(ctx, r.Store, o.row.SettingsVersion)
	return c, err
}

func (o outing) answer(by auth.Person) Checkout {
	purpose := Purpose(o.row.Purpose)
	c := Checkout{
		CheckoutLine: checkoutLine(o.row, o.v.today), Holder: o.row.Holder, ItemName: o.item.Name, Tests: []TestOrder{},
		Regulator: o.row.Regulator, Tubing: o.row.Tubing, Cap: o.row.Cap, ReturnedTo: o.row.ReturnedTo, SetLeftOn: o.row.SetLeftOn, LabelValues: o.labelValues(), Balance: o.balance(),
		Usable: o.v.usableWith(o.cylinder, o.v.contents(o.atOut(), purpose, o.need.minimumInlet())), UseByDate: useByDate(o.v.useBy(o.cylinder, o.row.FromOn), o.v.today),
		Logged: []TestAnswer{}, Progress: o.progress(), OnHold: holdAnswers(o.holds), ExpectedL: o.row.Expected.Litres(), ThresholdL: o.row.Threshold.Litres(),
		Out:             readingOf(o.row.OutPressure, o.row.OutTemperature, o.row.OutGauge, o.row.OutSource),
		SettingsVersion: o.row.SettingsVersion, MayReturn: o.mayReturn(by) == nil, Version: o.row.Version,
	}
	for _, t := range o.need.tests {
		c.Tests = append(c.Tests, TestOrder{t.Code, t.Count})
	}
	for _, t := range o.logged {
		c.Logged = append(c.Logged, testAnswer(t))
	}
	return c
}

// balance names the balance gas.
func (c cylinder) balance() string {
	for _, p := range c.lot.parts {
		if p.Balance {
			return p.Code
		}
	}
	return ""
}

// CheckoutFilter narrows a list of check-outs: those that are out, those out past their last planned day, those of a person.
type CheckoutFilter struct {
	Open   bool
	Late   bool
	Holder string
	After  int64 // the last row of the part before
	Limit  int
}

// CheckoutPage is a page of check-outs, the newest first.
type CheckoutPage struct {
	Rows []CheckoutRow `json:"rows"`
	Next int64         `json:"next"` // 0 at the end
}

// CheckoutLine is what a list tells of a check-out.
type CheckoutLine struct {
	ID         int64     `json:"id"`
	Tag        unit.Tag  `json:"tag"`
	Item       string    `json:"item"`
	Place      string    `json:"place"` // where it was taken from
	Purpose    Purpose   `json:"purpose"`
	From       unit.Date `json:"from"`
	Until      unit.Date `json:"until"`
	LateDays   int       `json:"late_days"` // past the last planned day, while it is out
	NeedL      float64   `json:"need_l"`
	TakenAt    string    `json:"taken_at"`
	ReturnedAt string    `json:"returned_at"` // "" while it is out
	Verdict    string    `json:"verdict"`
}

// CheckoutRow is a check-out in a list.
type CheckoutRow struct {
	CheckoutLine
	Holder string `json:"holder"`
}

func checkoutLine(row store.CheckoutRow, today unit.Date) CheckoutLine {
	l := CheckoutLine{
		ID: row.ID, Tag: row.Tag, Item: row.Item, Place: row.Place, Purpose: Purpose(row.Purpose), From: row.FromOn, Until: row.UntilOn,
		NeedL: row.Need.Litres(), TakenAt: row.TakenAt.String(), ReturnedAt: row.ReturnedAt.String(), Verdict: row.Verdict,
	}
	if row.ReturnedAt == 0 {
		l.LateDays = max(0, row.UntilOn.DaysUntil(today))
	}
	return l
}

// Checkouts lists check-outs, newest first.
func (r Room) Checkouts(ctx context.Context, f CheckoutFilter) (CheckoutPage, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return CheckoutPage{}, err
	}
	limit := pageLength(f.Limit)
	narrow := store.CheckoutFilter{Open: f.Open || f.Late, Holder: f.Holder, Before: f.After, Limit: limit + 1}
	if f.Late {
		narrow.UntilBefore = m.today
	}
	rows, err := r.Store.Checkouts(ctx, narrow)
	if err != nil {
		return CheckoutPage{}, err
	}
	page := CheckoutPage{Rows: []CheckoutRow{}}
	if len(rows) > limit {
		rows = rows[:limit]
		page.Next = rows[limit-1].ID
	}
	for _, row := range rows {
		page.Rows = append(page.Rows, CheckoutRow{checkoutLine(row, m.today), row.Holder})
	}
	return page, nil
}

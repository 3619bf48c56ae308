package stock

import (
	"fmt"

	"spanroom/internal/auth"
	"spanroom/internal/shelf"
	"spanroom/internal/unit"
	"spanroom/models"
)

// CylinderAnswer is everything about one cylinder on a day. What is not known is null or "".
type CylinderAnswer struct {
	Tag             unit.Tag       `json:"tag"`
	On              unit.Date      `json:"on"`
	Purpose         Purpose        `json:"purpose"` // what usable_l and cutoff are for
	Item            string         `json:"item"`
	ItemName        string         `json:"item_name"`
	Blend           string         `json:"blend"`
	Components      []AmountAnswer `json:"components"`
	Outlet          string         `json:"outlet"`
	WaterVolumeL    float64        `json:"water_volume_l"`
	FillPressureBar float64        `json:"fill_pressure_bar"`
	Supplier        string         `json:"supplier"`
	SupplierName    string         `json:"supplier_name"`
	Lot             string         `json:"lot"`
	LotID           int64          `json:"lot_id"`
	Serial          string         `json:"serial"`
	Stage           string         `json:"stage"`
	Holds           []HoldAnswer   `json:"holds"`
	Custody         Custody        `json:"custody"`
	Place           string         `json:"place"`
	LeftOn          []string       `json:"left_on"` // regulator, tubing and cap that stayed on it
	LastReading
	UsableAnswer
	OpenedOn unit.Date `json:"opened_on"`
	UseByDate
	TestsLeft  []TestsLeft  `json:"tests_left"`
	Procedures []Procedure  `json:"procedures"` // that take its blend
	Readiness  Readiness    `json:"readiness"`
	Ledger     []LedgerLine `json:"ledger"`
	Version    int64        `json:"version"`
}

// Procedure is a procedure by its code and name.
type Procedure struct {
	Code string `json:"code"`
	Name string `json:"name"`
}

// Custody is who or what has the cylinder: exactly one of a place, a person, a supplier, or nobody any more.
type Custody struct {
	Kind     string `json:"kind"` // place, person, supplier, disposed
	Name     string `json:"name"`
	Since    string `json:"since"`    // of a person
	Checkout int64  `json:"checkout"` // of a person; 0 for none
}

// Holder is the person who has it, or "".
func (c Custody) Holder() string {
	if c.Kind != "person" {
		return ""
	}
	return c.Name
}

func (c cylinder) custody() Custody {
	switch {
	case c.HolderID != nil:
		custody := Custody{Kind: "person", Name: c.holder, Since: c.HeldSince.String()}
		if c.CheckoutID != nil {
			custody.Checkout = *c.CheckoutID
		}
		return custody
	case c.PlaceID != nil:
		return Custody{Kind: "place", Name: c.place}
	}
	return Custody{Kind: "disposed"}
}

// LastReading is the last pressure that is known, and how.
type LastReading struct {
	PressureBar    *float64 `json:"pressure_bar"`
	TemperatureC   *float64 `json:"temperature_c"`
	Gauge          string   `json:"gauge"`
	PressureSource string   `json:"pressure_source"` // measured, computed, fill, unknown
	MeasuredAt     string   `json:"measured_at"`
}

func (c cylinder) lastReading() LastReading {
	l := LastReading{Gauge: c.Gauge, PressureSource: c.PressureSource, MeasuredAt: c.MeasuredAt.String()}
	if c.PressureSource != Unknown {
		bar := c.Pressure.Bar()
		l.PressureBar = &bar
	}
	if c.Temperature != 0 {
		celsius := c.Temperature.Celsius()
		l.TemperatureC = &celsius
	}
	return l
}

// UsableAnswer is what can be drawn for a purpose, with the low end of its interval; without litres Unknown says why.
type UsableAnswer struct {
	UsableL    *float64 `json:"usable_l"`
	UsableLowL *float64 `json:"usable_low_l"`
	HeelL      float64  `json:"heel_l"` // stays below the cut-off
	FullL      float64  `json:"full_l"` // of a full one, heel included
	Reference  string   `json:"reference"`
	Cutoff     Cutoff   `json:"cutoff"`
	Unknown    string   `json:"usable_unknown"`
}

// Cutoff is the pressure below which gas may not be used, and which figure set it.
type Cutoff struct {
	Bar float64 `json:"bar"`
	Why string  `json:"why"`
}

func (v *view) usable(c cylinder, p Purpose) UsableAnswer {
	return v.usableWith(c, v.contents(c, p, 0))
}

func (v *view) usableWith(c cylinder, now contents) UsableAnswer {
	u := UsableAnswer{Reference: v.settings.Reference, Cutoff: Cutoff{now.cutoff.bar, now.cutoff.why}}
	if now.err != nil {
		u.Unknown = now.err.Error()
		return u
	}
	u.UsableL, u.UsableLowL = &now.Litres, &now.Low
	u.HeelL, u.FullL = v.free(c, unit.PressureBar(now.cutoff.bar)), v.free(c, c.item.FillPressure)
	return u
}

// free gives the litres in the cylinder at some pressure and 21 °C, or 0 where pressure does not tell.
func (v *view) free(c cylinder, p unit.Pressure) float64 {
	litres, err := v.content(c, p, 0).FreeLitres()
	if err != nil {
		return 0
	}
	return litres
}

// UseByDate is the site's use-by beside the supplier's expiry, and what limits it; without a date there are no days left.
type UseByDate struct {
	ExpiresOn         unit.Date  `json:"expires_on"`
	SupplierExpiresOn unit.Date  `json:"supplier_expires_on"`
	GovernedBy        GovernedBy `json:"governed_by"`
	DaysLeft          *int       `json:"days_left"` // 0 on the last day
}

// GovernedBy is the term that gives the use-by, and the components whose limit it is.
type GovernedBy struct {
	Term       shelf.Term `json:"term"`
	Component  string     `json:"component"`
	Components []string   `json:"components"`
	Words      string     `json:"words"`
}

func governedBy(u shelf.UseBy) GovernedBy {
	return GovernedBy{u.GovernedBy, u.Component, append([]string{}, u.Components...), u.Words}
}

func useByDate(u shelf.UseBy, on unit.Date) UseByDate {
	d := UseByDate{ExpiresOn: u.ExpiresOn, SupplierExpiresOn: u.SupplierExpiresOn, GovernedBy: governedBy(u)}
	if u.ExpiresOn != "" {
		days := shelf.DaysLeft(u.ExpiresOn, on)
		d.DaysLeft = &days
	}
	return d
}

// Left says the days left in words (R8); "" without a date.
func (d UseByDate) Left() string {
	switch {
	case d.DaysLeft == nil:
		return ""
	case *d.DaysLeft == 0:
		return "last day"
	case *d.DaysLeft < 0:
		return "expired " + days(-*d.DaysLeft) + " ago"
	}
	return days(*d.DaysLeft) + " left"
}

// Late tells whether the date is past.
func (d UseByDate) Late() bool { return d.DaysLeft != nil && *d.DaysLeft < 0 }

func days(n int) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

// HoldAnswer is one standing hold.
type HoldAnswer struct {
	ID         int64       `json:"id"`
	Reason     string      `json:"reason"`
	Text       string      `json:"text"`
	On         string      `json:"on"` // in words: "lot 7K-2206"
	By         string      `json:"by"`
	Since      string      `json:"since"`
	MayRelease []auth.Role `json:"may_release"`
}

func holdAnswer(h models.Hold) HoldAnswer {
	return HoldAnswer{h.ID, h.Reason, h.Text, h.OnKind + " " + h.OnName, h.PlacedBy, h.PlacedAt.String(), auth.MayRelease(h.Reason)}
}

func holdAnswers(holds []models.Hold) []HoldAnswer {
	answers := make([]HoldAnswer, len(holds))
	for i, h := range holds {
		answers[i] = holdAnswer(h)
	}
	return answers
}

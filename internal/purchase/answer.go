package purchase

import (
	"spanroom/internal/problem"
	"spanroom/internal/reorder"
	"spanroom/internal/unit"
)

// PlanAnswer is the plan of the whole store. Snapshot names the state that it was made from: its date and the ledger's last entry.
type PlanAnswer struct {
	Snapshot        string    `json:"snapshot"`
	AsOf            string    `json:"as_of"`
	Today           unit.Date `json:"today"`
	Site            string    `json:"site"`
	Zone            string    `json:"zone"`
	SettingsVersion int64     `json:"settings_version"`
	Policy          Policy    `json:"policy"`
	Lines           []Line    `json:"lines"`
	Totals          []Total   `json:"totals"`
	Notes           []string  `json:"notes"`
}

// Policy is the site's settings that the plan rests on.
type Policy struct {
	Service                   float64 `json:"service"`
	ReviewDays                int     `json:"review_days"`
	ReserveDays               int     `json:"reserve_days"`
	RetryPct                  float64 `json:"retry_pct"`
	HistoryWeeks              int     `json:"history_weeks"`
	OutLateDays               int     `json:"out_late_days"`
	ExcludeCertificateMissing bool    `json:"exclude_certificate_missing"`
	Reference                 string  `json:"reference"` // condition at which litres are counted
}

// Total sums up the lines of one currency: what is proposed, and what is expected to expire unused.
type Total struct {
	Currency      string     `json:"currency"`
	Lines         int        `json:"lines"` // that propose an order
	Cost          unit.Money `json:"cost"`
	ExpectedWaste unit.Money `json:"expected_waste"`
}

// Line is the plan of one item. Quantities are in its unit: cylinders with their fractions, pieces, or metres.
type Line struct {
	Key           string            `json:"key"`
	Item          string            `json:"item"`
	Name          string            `json:"name"`
	Kind          string            `json:"kind"`
	Components    []string          `json:"components"`
	Size          string            `json:"size"`
	Outlet        string            `json:"outlet"`
	Unit          string            `json:"unit"`
	State         reorder.State     `json:"state"`
	OnHand        float64           `json:"on_hand"`
	Usable        float64           `json:"usable"`
	WillExpire    float64           `json:"will_expire"`
	OnOrder       float64           `json:"on_order"`
	Forecast      Forecast          `json:"forecast"`
	Level         float64           `json:"level"`
	OrderBy       unit.Date         `json:"order_by"`
	NeededBy      unit.Date         `json:"needed_by"`
	RunsOut       unit.Date         `json:"runs_out"`
	Proposed      int               `json:"proposed"`
	ProposedPacks int               `json:"proposed_packs"`
	Cost          unit.Money        `json:"cost"`
	QMax          *int              `json:"q_max"`
	Fresh         *Fresh            `json:"fresh"`
	ExpectedWaste Waste             `json:"expected_waste"`
	Source        *Source           `json:"source"`
	Decide        *Decide           `json:"decide"`
	Lots          []Lot             `json:"lots"`
	Held          []Held            `json:"held"`
	Projection    []Point           `json:"projection"`
	Why           string            `json:"why"`
	Findings      []problem.Finding `json:"findings"`
}

// Forecast is the use a week by both ways, and which of them is used. LitresPerUnit turns gas into cylinders; 0 for the rest.
type Forecast struct {
	PerWeek       float64 `json:"per_week"`
	SD            float64 `json:"sd"`
	Schedule      float64 `json:"schedule"`
	History       float64 `json:"history"`
	Used          string  `json:"used"`
	Weeks         int     `json:"weeks"` // of history
	LitresPerUnit float64 `json:"litres_per_unit"`
	Sentence      string  `json:"sentence"`
}

// Fresh is what an order of today meets: its life on arrival, how long older stock still comes first, and how much of a new
// lot is used before it expires.
type Fresh struct {
	LifeWeeks  float64 `json:"life_weeks"`
	OlderWeeks float64 `json:"older_weeks"`
	UsedInTime float64 `json:"used_in_time"`
}

// Waste is what is expected to expire unused.
type Waste struct {
	Quantity float64    `json:"quantity"`
	Money    unit.Money `json:"money"`
}

// Source is the preferred supplier's terms. MinimumLifeDays is as agreed; LifeDays is what the site's own caps leave of it.
type Source struct {
	Supplier        string     `json:"supplier"`
	SupplierName    string     `json:"supplier_name"`
	Article         string     `json:"article"`
	Pack            int        `json:"pack"`
	MOQ             int        `json:"moq"`
	Price           unit.Money `json:"price"`     // of a pack
	LeadDays        int        `json:"lead_days"` // 0 where nobody has entered it
	LeadSDDays      int        `json:"lead_sd_days"`
	MinimumLifeDays int        `json:"minimum_life_days"`
	LifeDays        int        `json:"life_days"`
}

// Decide is what a person must settle, with the ways out.
type Decide struct {
	Why     string   `json:"why"`
	Options []Option `json:"options"`
}

// Option is one way out with its price.
type Option struct {
	Key        string     `json:"key"`
	Supplier   string     `json:"supplier"`
	Text       string     `json:"text"`
	Quantity   int        `json:"quantity"`
	Cost       unit.Money `json:"cost"`
	Waste      unit.Money `json:"waste"`
	WasteUnits float64    `json:"waste_units"`
}

// Lot is stock on hand that shares its lot, its use-by and what holds it back. Consumables have no lot.
type Lot struct {
	Lot        string    `json:"lot"`
	Supplier   string    `json:"supplier"`
	Sealed     int       `json:"sealed"`
	Opened     int       `json:"opened"`
	Units      float64   `json:"units"`
	ExpiresOn  unit.Date `json:"expires_on"`
	Limited    string    `json:"limited"` // what limits the use-by, in words
	Held       string    `json:"held"`    // why it is not counted on; "" where it is
	Used       float64   `json:"used"`    // before it expires
	WillExpire float64   `json:"will_expire"`
}

// Held sums up the stock that one hold keeps back.
type Held struct {
	Hold  string  `json:"hold"`
	Units float64 `json:"units"`
	Text  string  `json:"text"`
}

// Point is the stock at the end of a day: all of it, what of it will be used, and what expired since the point before.
type Point struct {
	On      unit.Date `json:"on"`
	Units   float64   `json:"units"`
	Usable  float64   `json:"usable"`
	Expired float64   `json:"expired"`
}

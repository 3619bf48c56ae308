package reorder

import (
	"math"
	"strings"
	"testing"

	"spanroom/internal/unit"
)

const today unit.Date = "2027-03-03"

func eur(cents int64) unit.Money { return unit.Money{Minor: cents, Currency: "EUR"} }

func near(got, want, tol float64) bool { return math.Abs(got-want) <= tol }

// The four-gas and chlorine terms of the water utility.
var (
	q4 = Terms{Supplier: "Northbank Gases", Article: "00417", Pack: 1, MOQ: 6, Price: eur(7800), LeadDays: 42, LeadSDDays: 8, ReviewDays: 7, MinimumLifeDays: 182, Service: 0.95}
	cl = Terms{Supplier: "Ferrow Specialty", Article: "3E5", Pack: 1, MOQ: 6, Price: eur(21000), LeadDays: 42, LeadSDDays: 8, ReviewDays: 7, MinimumLifeDays: 182, Service: 0.95}
)

// plan is a question with its lots a year away from expiry.
func plan(t Terms, perWeek, sd float64, lots ...Lot) Question {
	for i := range lots {
		if lots[i].ExpiresOn == "" {
			lots[i].ExpiresOn = today.AddDays(365)
		}
	}
	return Question{Item: "Q4", Unit: "cylinder", Today: today, PerWeek: perWeek, SD: sd, Lots: lots, Terms: t}
}

// stockOnly plans for an item that nobody supplies.
func stockOnly(perWeek float64, lots ...Lot) Line {
	return Plan(Question{Unit: "cylinder", Today: today, PerWeek: perWeek, Lots: lots})
}

func TestR45OnlyWhatIsUsedInTimeCounts(t *testing.T) {
	p := stockOnly(0.54, Lot{Lot: "late", Units: 5, ExpiresOn: "2027-12-01"}, Lot{Lot: "soon", Units: 4, ExpiresOn: today.AddDays(21)})
	if !near(p.Usable, 6.62, 1e-9) || !near(p.WillExpire, 2.38, 1e-9) || p.OnHand != 9 {
		t.Errorf("%v of %v usable, %v will expire; want 6.62 of 9 and 2.38", p.Usable, p.OnHand, p.WillExpire)
	}
	if soon := p.Lots[1]; !near(soon.Used, 1.62, 1e-9) || !near(soon.WillExpire, 2.38, 1e-9) {
		t.Errorf("the soon lot: %+v", soon)
	}
	for i, want := range []Point{
		{On: today, Units: 9, Usable: 6.62},
		{On: "2027-03-10", Units: 8.46, Usable: 6.08},
		{On: "2027-03-17", Units: 7.92, Usable: 5.54},
		{On: "2027-03-24", Units: 7.38, Usable: 5}, // the last day of the soon lot
		{On: "2027-03-31", Units: 4.46, Usable: 4.46, Expired: 2.38},
	} {
		if got := p.Projection[i]; got.On != want.On || !near(got.Units, want.Units, 1e-9) || !near(got.Usable, want.Usable, 1e-9) || !near(got.Expired, want.Expired, 1e-9) {
			t.Errorf("point %d: %+v, want %+v", i, got, want)
		}
	}
	if last := p.Projection[len(p.Projection)-1]; last.Units > 1e-9 {
		t.Errorf("the picture ends with %v left", last.Units)
	}
}

func TestStockIsTakenAsItIs(t *testing.T) {
	for _, c := range []struct {
		name            string
		lots            []Lot
		perWeek         float64
		usable, expires float64
	}{
		{"nothing", nil, 1, 0, 0},
		{"never expires", []Lot{{Units: 7}}, 0.1, 7, 0},
		{"never expires and is not used", []Lot{{Units: 7}}, 0, 7, 0},
		{"expires and is not used", []Lot{{Units: 7, ExpiresOn: "2027-09-01"}}, 0, 0, 7},
		{"past its date", []Lot{{Units: 2, ExpiresOn: "2027-03-02"}}, 1, 0, 2},
		{"held is not looked at", []Lot{{Units: 2, Held: true}, {Units: 1}}, 1, 1, 0},
		{"the second waits for the first", []Lot{{Units: 2, ExpiresOn: today.AddDays(14)}, {Units: 2, ExpiresOn: today.AddDays(21)}}, 1, 3, 1},
		{"impossible figures", []Lot{{Units: math.NaN()}, {Units: -1}, {Units: 1}}, math.Inf(1), 1, 0},
	} {
		p := stockOnly(c.perWeek, c.lots...)
		if !near(p.Usable, c.usable, 1e-9) || !near(p.WillExpire, c.expires, 1e-9) {
			t.Errorf("%s: usable %v, will expire %v; want %v and %v", c.name, p.Usable, p.WillExpire, c.usable, c.expires)
		}
	}
}

func TestR46Level(t *testing.T) {
	for _, c := range []struct{ service, want float64 }{{0.5, 3.78}, {0.95, 5.16}, {0.99, 5.73}} {
		if got := Level(0.54, 0.20, 6, 1.2, 1, c.service); !near(got, c.want, 0.005) {
			t.Errorf("at %v: %.3f, want %.2f", c.service, got, c.want)
		}
	}
	if got := Level(math.NaN(), math.Inf(1), -1, 0, 0, 7); got != 0 {
		t.Errorf("impossible figures give a level of %v", got)
	}
}

func TestR47Cap(t *testing.T) {
	for _, c := range []struct {
		name                                 string
		perWeek, life, older, lead, reserve_ float64
		want                                 int
	}{
		{"four weeks of older stock", 0.14, 26, 4, 0, 0, 3},
		{"the same beyond the lead time", 0.14, 26, 10, 6, 0, 3},
		{"no older stock", 0.14, 26, 0, 6, 0, 3},
		{"older stock gone before arrival", 0.5, 26, 5, 6, 0, 13},
		{"a reserve", 0.5, 26, 0, 6, 4, 11},
		{"older than the new lot lives", 0.5, 26, 40, 6, 0, 0},
		{"a whole number is not lost to rounding", 0.1, 30, 0, 0, 0, 3},
		{"no use", 0, 26, 0, 6, 0, 0},
		{"impossible", math.NaN(), math.Inf(1), -3, 6, 0, 0},
	} {
		if got := Cap(c.perWeek, c.life, c.older, c.lead, c.reserve_); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}

// Both readings of "MOQ 6": R48 has no older stock, so a new lot has all of its 26 weeks; in S62 older stock lasts four weeks
// beyond the lead time and takes them from the new lot.
func TestR48AndS62LeastOrderBeyondShelfLife(t *testing.T) {
	for _, c := range []struct {
		name   string
		lots   []Lot
		left   float64
		waste  unit.Money
		says   string
		due    unit.Date
		stands string
	}{
		{"R48", nil, 2.36, eur(49560), "346.15 EUR instead of 210.00 EUR", today, "there is no usable stock"},
		{"S62", []Lot{{Units: 1.4}}, 2.92, eur(61320), "409.09 EUR instead of 210.00 EUR", "2027-03-07", "10 weeks, until 12 May 2027"},
	} {
		l := Plan(plan(cl, 0.14, 0.05, c.lots...))
		if l.State != ToDecide || l.Decide == nil || l.Proposed != 0 || l.Cost.Minor != 0 || *l.QMax != 3 || l.OrderBy != c.due {
			t.Fatalf("%s: %+v, want a decision on a cap of 3 by %s", c.name, l, c.due)
		}
		if want := "MOQ 6, only 3 used before use-by"; l.Decide.Why != want || l.Why != want {
			t.Errorf("%s: %q and %q", c.name, l.Why, l.Decide.Why)
		}
		opts := byKey(l.Decide.Options)
		if moq := opts["moq"]; !near(moq.WasteUnits, c.left, 1e-6) || moq.Waste != c.waste || moq.Cost != eur(126000) || moq.Quantity != 6 || !strings.Contains(moq.Text, c.says) {
			t.Errorf("%s: %+v", c.name, moq)
		}
		if split := opts["split"]; split.Quantity != 6 || split.WasteUnits != 0 || split.Cost != eur(126000) || !strings.Contains(split.Text, "3 + 3") {
			t.Errorf("%s: %+v", c.name, split)
		}
		if share := opts["share"]; share.Quantity != 3 || share.Cost != eur(63000) || share.WasteUnits > 0.001 {
			t.Errorf("%s: %+v", c.name, share)
		}
		if without := opts["without"]; without.Quantity != 0 || without.Cost.Minor != 0 || !strings.Contains(without.Text, c.stands) {
			t.Errorf("%s: %+v", c.name, without)
		}
		if smaller := opts["smaller"]; smaller.Text == "" || smaller.Quantity != 0 {
			t.Errorf("%s: %+v", c.name, smaller)
		}
	}
}

func byKey(options []Option) map[string]Option {
	out := map[string]Option{}
	for _, o := range options {
		out[o.Key] = o
	}
	return out
}

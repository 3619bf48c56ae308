package purchase

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

const today unit.Date = "2027-03-03"

// clock stands on the Wednesday of the scenarios, early enough for the date to differ between the site and UTC.
func clock() time.Time { return time.Date(2027, 3, 2, 23, 30, 0, 0, time.UTC) }

var supervisor = auth.Act{By: auth.Person{ID: 1, Name: "S. Visor", Role: auth.Supervisor}, Request: "test"}

// utility is the water utility of the scenarios: its catalogue is there, its shelves are empty.
type utility struct {
	t     *testing.T
	store *store.Store
	room  Room
	books catalogue.Room
	next  int
}

// the catalogue of the scenarios, in the order in which it can be made.
var harrowmere = []struct{ plural, doc string }{
	{"settings", `{"zone":"Europe/Amsterdam","retry_pct":0,"site_name":"Harrowmere Water"}`},
	{"components", `{"code":"CH4"}`}, {"components", `{"code":"O2"}`}, {"components", `{"code":"CO"}`}, {"components", `{"code":"N2"}`}, {"components", `{"code":"air"}`},
	{"components", `{"code":"H2S","cap_months":24,"adsorbs":true}`},
	{"components", `{"code":"Cl2","cap_months":8,"fallback_months":6,"opened_days":75,"adsorbs":true}`},
	{"components", `{"code":"NH3","cap_months":10,"adsorbs":true}`},
	{"blends", `{"code":"Q4","balance":"N2","components":[{"component":"CH4","amount":"2.5 %vol"},{"component":"O2","amount":"18 %vol"},{"component":"CO","amount":"100 ppm"},{"component":"H2S","amount":"25 ppm"}]}`},
	{"blends", `{"code":"CL","balance":"N2","components":[{"component":"Cl2","amount":"10 ppm"}]}`},
	{"blends", `{"code":"NH","balance":"N2","components":[{"component":"NH3","amount":"50 ppm"}]}`},
	{"suppliers", `{"code":"northbank","name":"Northbank Gases","lead_time_days":42,"lead_time_sd_days":8}`},
	{"suppliers", `{"code":"ferrow","name":"Ferrow Specialty","lead_time_days":42,"lead_time_sd_days":8}`},
	{"places", `{"code":"CAGE","kind":"cage"}`},
	{"blends", `{"code":"ZA","balance":"air","components":[]}`},
	{"items", `{"code":"Q4","name":"four-gas","kind":"gas","blend":"Q4","water_volume":"1.0 L","fill_pressure":"69 bar","outlet":"C-10","cutoff":"2.0 bar","sources":[{"supplier":"northbank","article":"00417","pack":1,"moq":6,"price":"78.00 EUR","minimum_life_days":180}]}`},
	{"items", `{"code":"CL","kind":"gas","blend":"CL","water_volume":"1.7 L","fill_pressure":"69 bar","outlet":"C-10","cutoff":"3.5 bar","sources":[{"supplier":"ferrow","article":"3E5","pack":1,"moq":6,"price":"210.00 EUR","minimum_life_days":182},{"supplier":"northbank","article":"7-CL","pack":2,"moq":2,"price":"260.00 USD","minimum_life_days":150}]}`},
	{"items", `{"code":"NH","kind":"gas","blend":"NH","water_volume":"1.7 L","fill_pressure":"69 bar","outlet":"C-10","cutoff":"3.5 bar","sources":[]}`},
	{"items", `{"code":"FILTER-H","kind":"filter","name":"hydrophobic filter","sources":[{"supplier":"northbank","article":"0F-12","pack":10,"moq":10,"price":"31.50 EUR"}]}`},
	{"items", `{"code":"FEP-5","kind":"tubing","counted_in":"m","sources":[]}`},
	{"items", `{"code":"CAP-9","kind":"cap","sources":[]}`},
	{"procedures", `{"code":"bump-q4","purpose":"bump","blend":"Q4","flow":"0.3 L/min","duration":"30 s","purge":"0.3 L"}`},
	{"procedures", `{"code":"cal-q4","purpose":"calibration","blend":"Q4","flow":"0.3 L/min","duration":"2 min","purge":"0.3 L"}`},
	{"procedures", `{"code":"bump-cl","purpose":"bump","blend":"CL","flow":"1.0 L/min","duration":"1 min","conditioning":"5 min"}`},
	{"procedures", `{"code":"cal-cl","purpose":"calibration","blend":"CL","flow":"1.0 L/min","duration":"3 min","conditioning":"5 min"}`},
	{"rounds", `{"code":"monitors","instruments":[` + serials("D", 56) + `],"tests":[{"procedure":"bump-q4","times_per_week":3},{"procedure":"cal-q4","times_per_week":0.229979}],"sessions_per_week":10}`},
	{"rounds", `{"code":"ashbeck","instruments":[` + serials("C", 6) + `],"tests":[{"procedure":"bump-cl","times_per_week":1},{"procedure":"cal-cl","times_per_week":0.229979}],"sessions_per_week":1}`},
}

func serials(letter string, n int) string {
	var all []string
	for i := range n {
		all = append(all, fmt.Sprintf(`"%s-%03d"`, letter, i+1))
	}
	return strings.Join(all, ",")
}

func newUtility(t *testing.T, s *store.Store) *utility {
	t.Helper()
	u := &utility{t: t, store: s, room: Room{Store: s, Now: clock}, books: catalogue.Room{Store: s, Now: clock}}
	for _, thing := range harrowmere {
		u.make(thing.plural, thing.doc)
	}
	return u
}

// make adds a thing to the catalogue, or changes the settings, which are there from the start.
func (u *utility) make(plural, doc string) {
	u.t.Helper()
	noun, known := catalogue.NounAt(plural)
	if !known {
		noun = catalogue.SettingsNoun()
	}
	order, err := u.books.Blank(context.Background(), noun)
	if err == nil {
		err = json.Unmarshal([]byte(doc), order)
	}
	switch {
	case err != nil:
	case plural == "settings":
		_, err = u.books.Change(context.Background(), supervisor, catalogue.Site, order)
	default:
		_, err = u.books.Make(context.Background(), supervisor, order)
	}
	if err != nil {
		u.t.Fatalf("%s %s: %v", plural, doc, err)
	}
}

func (u *utility) tx(fn func(ctx context.Context, tx *store.Store) error) {
	u.t.Helper()
	if err := u.store.Tx(context.Background(), func(tx *store.Store) error { return fn(context.Background(), tx) }); err != nil {
		u.t.Fatal(err)
	}
}

func (u *utility) id(noun, code string) int64 {
	u.t.Helper()
	id, err := u.store.CatalogueID(context.Background(), noun, code)
	if err != nil || id == 0 {
		u.t.Fatalf("%s %s: %d, %v", noun, code, id, err)
	}
	return id
}

// delivery is a lot of cylinders as the tests put them on the shelf.
type delivery struct {
	item, supplier, lot      string
	n                        int
	filled, label            unit.Date
	stage                    string  // sealed where it is ""
	bar                      float64 // the fill where it is 0
	source                   string  // of the pressure: fill where it is ""
	opened, certificateUntil unit.Date
}

// deliver puts a delivery on the shelf and gives its cylinders.
func (u *utility) deliver(d delivery) []models.Cylinder {
	u.t.Helper()
	item, err := u.store.ItemByCode(context.Background(), d.item)
	if err != nil {
		u.t.Fatal(err)
	}
	at, place := unit.InstantOf(clock()), u.id("place", "CAGE")
	entry := models.Entry{RecordedAt: at, HappenedAt: at, ByName: "clerk", Kind: "receive", Place: "CAGE"}
	c := models.Cylinder{ItemID: item.ID, Stage: d.stage, PlaceID: &place, HeldSince: at, ReceivedAt: at, Pressure: item.FillPressure, OpenedOn: d.opened, PressureSource: d.source}
	if d.stage == "" {
		c.Stage = "sealed"
	}
	if d.source == "" {
		c.PressureSource = "fill"
	}
	if d.bar > 0 {
		c.Pressure, c.Temperature = unit.PressureBar(d.bar), unit.TemperatureCelsius(21)
	}
	var all []models.Cylinder
	u.tx(func(ctx context.Context, tx *store.Store) error {
		lot := models.Lot{SupplierID: u.id("supplier", d.supplier), BlendID: *item.BlendID, Lot: d.lot, LotKey: d.lot, FilledOn: d.filled, LabelExpiresOn: d.label, ReceivedAt: at}
		if err := tx.AddLot(ctx, &lot); err != nil {
			return err
		}
		c.LotID, c.ReceiptID = lot.ID, u.receipt(ctx, tx, item.ID, lot)
		if d.certificateUntil != "" {
			paper := models.Certificate{LotID: lot.ID, Kind: "analysis", Number: "C-1", ExpiresOn: d.certificateUntil, RecordedAt: at}
			if err := tx.AddCertificate(ctx, &paper, nil); err != nil {
				return err
			}
			lot.CertificateID = &paper.ID
			if err := tx.SetLotDates(ctx, lot); err != nil {
				return err
			}
		}
		for range d.n {
			u.next++
			c.Tag = unit.Tag(fmt.Sprintf("T%05d", u.next))
			all = append(all, c)
		}
		var err error
		all, err = tx.AddCylinders(ctx, all, entry)
		return err
	})
	return all
}

func (u *utility) receipt(ctx context.Context, tx *store.Store, itemID int64, lot models.Lot) int64 {
	u.t.Helper()
	r := models.Receipt{SupplierID: lot.SupplierID, ItemID: itemID, LotID: &lot.ID, PlaceID: u.id("place", "CAGE"), Quantity: 1, CountedIn: "cylinder", Typed: "{}", Findings: "[]", ReceivedAt: lot.ReceivedAt, ByName: "clerk"}
	if err := tx.AddReceipt(ctx, &r); err != nil {
		u.t.Fatal(err)
	}
	return r.ID
}

func (u *utility) hold(kind string, id int64, reason string) {
	u.t.Helper()
	u.tx(func(ctx context.Context, tx *store.Store) error {
		return tx.AddHold(ctx, &models.Hold{OnKind: kind, OnID: id, Reason: reason, PlacedAt: 1, PlacedBy: "clerk"})
	})
}

// write adds an entry to the ledger so many days ago, and gives its number.
func (u *utility) write(daysAgo int, e models.Entry) int64 {
	u.t.Helper()
	e.RecordedAt = unit.InstantOf(clock().AddDate(0, 0, -daysAgo))
	e.HappenedAt, e.ByName = e.RecordedAt, "technician"
	u.tx(func(ctx context.Context, tx *store.Store) error { return tx.Append(ctx, e) })
	head, err := u.store.Head(context.Background())
	if err != nil {
		u.t.Fatal(err)
	}
	return head.Seq
}

func (u *utility) plan() PlanAnswer {
	u.t.Helper()
	answer, err := u.room.Plan(context.Background())
	if err != nil {
		u.t.Fatal(err)
	}
	return answer
}

// line gives the plan of one item.
func (u *utility) line(item string) Line {
	u.t.Helper()
	for _, l := range u.plan().Lines {
		if l.Item == item {
			return l
		}
	}
	u.t.Fatalf("the plan has no line for %s", item)
	return Line{}
}

func near(got, want, tolerance float64) bool { return got >= want-tolerance && got <= want+tolerance }

func findings(l Line) string {
	var out []string
	for _, f := range l.Findings {
		out = append(out, f.Rule+" "+f.Text+" > "+f.Advice)
	}
	return strings.Join(out, "\n")
}

func states(lines []Line) string {
	var out []string
	for _, l := range lines {
		out = append(out, l.Item+" "+string(l.State))
	}
	return strings.Join(out, ", ")
}

package purchase

import (
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/reorder"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

func TestDemandOfTheScenarios(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		u := newUtility(t, s)
		for _, c := range []struct {
			item            string
			litres, perWeek float64
			full            float64
		}{
			{"Q4", 35.9, 0.54, 66.1},
			{"CL", 15.1, 0.14, 109.9},
		} {
			f := u.line(c.item).Forecast
			if !near(f.PerWeek*f.LitresPerUnit, c.litres, 0.05) || !near(f.PerWeek, c.perWeek, 0.006) || !near(f.LitresPerUnit, c.full, c.full*0.02) {
				t.Errorf("%s: %.2f L a week, %.3f cylinders of %.1f L; want %v, %v of %v", c.item, f.PerWeek*f.LitresPerUnit, f.PerWeek, f.LitresPerUnit, c.litres, c.perWeek, c.full)
			}
			if f.Used != "schedule" || !near(f.SD, 0.37*f.PerWeek, 1e-9) || f.Schedule != f.PerWeek {
				t.Errorf("%s: %+v", c.item, f)
			}
		}
	})
}

func TestS59WhatExpiresBeforeUseIsNotCounted(t *testing.T) {
	u := newUtility(t, storetest.New(t))
	u.deliver(delivery{item: "Q4", supplier: "northbank", lot: "7K-2206", n: 4, filled: "2026-10-01", label: today.AddDays(21)})
	u.deliver(delivery{item: "Q4", supplier: "ferrow", lot: "3E5", n: 5, filled: "2026-10-01", label: "2027-12-01"})
	l := u.line("Q4")
	if l.OnHand != 9 || !near(l.Usable, 6.62, 0.02) || !near(l.WillExpire, 2.38, 0.02) || l.State != reorder.Later || !near(l.Level, 5.16, 0.1) {
		t.Errorf("%v of %v usable, %v expire, %s at %v; want 6.62 of 9, 2.38, later at 5.16", l.Usable, l.OnHand, l.WillExpire, l.State, l.Level)
	}
	want := Lot{Lot: "7K-2206", Supplier: "northbank", Sealed: 4, Units: 4, ExpiresOn: "2027-03-24", Limited: "limited by the label"}
	got := l.Lots[0]
	if got.Used, got.WillExpire = 0, 0; got != want {
		t.Errorf("first lot %+v, want %+v", got, want)
	}
	if l.Lots[1].Lot != "3E5" || l.Lots[1].WillExpire != 0 || !near(l.Lots[0].WillExpire, 2.38, 0.02) {
		t.Errorf("lots %+v", l.Lots)
	}
	if money := l.ExpectedWaste.Money; !near(float64(money.Minor), 2.38*7800, 200) || money.Currency != "EUR" {
		t.Errorf("expected waste %v", money)
	}
}

func TestS60OrderToday(t *testing.T) {
	u := newUtility(t, storetest.New(t))
	u.deliver(delivery{item: "Q4", supplier: "northbank", lot: "A", n: 5, filled: "2026-12-01", certificateUntil: "2028-03-01"})
	l := u.line("Q4")
	if l.State != reorder.OrderNow || l.OrderBy != today || l.NeededBy != "2027-04-14" || l.Proposed != 6 || l.ProposedPacks != 6 || l.Cost.String() != "468.00 EUR" {
		t.Errorf("%s by %s for %s, %d in %d packs for %s", l.State, l.OrderBy, l.NeededBy, l.Proposed, l.ProposedPacks, l.Cost)
	}
	if l.Lots[0].ExpiresOn != "2028-03-01" || l.Lots[0].Limited != "limited by the certificate" {
		t.Errorf("lot %+v", l.Lots[0])
	}
	if s := l.Source; s.Article != "00417" || s.SupplierName != "Northbank Gases" || s.LifeDays != 180 || s.Price.String() != "78.00 EUR" {
		t.Errorf("source %+v", s)
	}
	if l.Size != "1 L, 69 bar" || strings.Join(l.Components, ", ") != "CH4 2.5 %vol, O2 18 %vol, CO 100 ppm, H2S 25 ppm, balance N2" {
		t.Errorf("%s, %v", l.Size, l.Components)
	}
}

func TestS62ChlorineIsToDecide(t *testing.T) {
	u := newUtility(t, storetest.New(t))
	l := u.line("CL")
	if l.State != reorder.ToDecide || l.Proposed != 0 || *l.QMax != 3 || !strings.HasPrefix(l.Decide.Why, "MOQ 6, only 3 used") {
		t.Fatalf("%s, %d of at most %d: %+v", l.State, l.Proposed, *l.QMax, l.Decide)
	}
	byKey := map[string]Option{}
	for _, o := range l.Decide.Options {
		byKey[o.Key] = o
	}
	if o := byKey["moq"]; o.Quantity != 6 || o.Cost.String() != "1260.00 EUR" || o.Supplier != "ferrow" || !near(o.WasteUnits, 2.36, 0.12) {
		t.Errorf("buying the MOQ: %+v", o)
	}
	if o := byKey["split"]; !strings.Contains(o.Text, "3 + 3") || o.WasteUnits != 0 {
		t.Errorf("split: %+v", o)
	}
	if o := byKey["other"]; o.Supplier != "northbank" || o.Quantity != 2 || o.Cost.Currency != "USD" {
		t.Errorf("other supplier: %+v", o)
	}
	if f := l.Fresh; f.LifeWeeks != 26 || f.OlderWeeks != 0 || !near(f.UsedInTime, 26*l.Forecast.PerWeek, 1e-9) {
		t.Errorf("fresh %+v", f)
	}
}

func TestS70HeldStockIsListedButNotCounted(t *testing.T) {
	u := newUtility(t, storetest.New(t))
	held := u.deliver(delivery{item: "Q4", supplier: "northbank", lot: "B", n: 6, filled: "2026-12-01", label: "2028-01-01", stage: "received"})
	u.hold("lot", held[0].LotID, "Certificate missing")
	u.hold("cylinder", held[5].ID, "Leak suspected")
	u.deliver(delivery{item: "Q4", supplier: "northbank", lot: "C", n: 1, label: "2028-01-01"})
	l := u.line("Q4")
	if l.OnHand != 1 || len(l.Held) != 2 || l.Held[0] != (Held{"Certificate missing", 5, "5 more if certificate arrives"}) || l.Held[1].Hold != "Leak suspected" {
		t.Fatalf("%v on hand, held %+v", l.OnHand, l.Held)
	}
	if !strings.Contains(l.Why, "5 more if certificate arrives") || !strings.Contains(findings(l), "chase the certificate") {
		t.Errorf("%s\n%s", l.Why, findings(l))
	}
	u.make("settings", `{"exclude_certificate_missing":false}`)
	if l = u.line("Q4"); l.OnHand != 6 || len(l.Held) != 1 {
		t.Errorf("where the site counts on certificates: %v on hand, held %+v", l.OnHand, l.Held)
	}
}

func TestS71ScheduleNotSilence(t *testing.T) {
	u := newUtility(t, storetest.New(t))
	u.make("procedures", `{"code":"bump-nh","purpose":"bump","blend":"NH","flow":"1.0 L/min","duration":"1 min"}`)
	u.make("rounds", `{"code":"coldholm","instruments":["N-01","N-02","N-03","N-04"],"tests":[{"procedure":"bump-nh","times_per_week":1}],"sessions_per_week":1}`)
	bottle := u.deliver(delivery{item: "NH", supplier: "ferrow", lot: "D", n: 1, filled: "2026-12-01", label: "2027-12-01"})[0]
	u.write(75, models.Entry{Kind: "use", Subject: store.Subject(bottle.Tag), Quantity: -9000, Unit: "mL", Place: "CAGE"})
	l := u.line("NH")
	if f := l.Forecast; f.Used != "schedule" || !near(f.PerWeek*f.LitresPerUnit, 4, 1e-9) || f.Weeks != 11 {
		t.Errorf("%+v", f)
	}
	if l.State != reorder.ToDecide || l.Decide.Why != "no supplier is set" {
		t.Errorf("without a source: %s, %+v", l.State, l.Decide)
	}
	if l.Lots[0].ExpiresOn != "2027-10-01" || l.Lots[0].Limited != "limited by NH3: site cap 10 months" {
		t.Errorf("lot %+v", l.Lots[0])
	}
}

func TestWhatIsHereIsCounted(t *testing.T) {
	for _, c := range []struct {
		name   string
		d      delivery
		units  float64
		held   string
		expire unit.Date
	}{
		{"sealed", delivery{n: 2}, 2, "", "2028-01-01"},
		{"opened at half its pressure", delivery{n: 1, stage: "opened", opened: "2027-02-01", bar: 35.5, source: "measured"}, 0.5, "", "2028-01-01"},
		{"opened and below its cut-off", delivery{n: 1, stage: "opened", bar: 1.5, source: "measured"}, 0, "", "2028-01-01"},
		{"opened and not read", delivery{n: 1, stage: "opened", source: "unknown"}, 0, "", "2028-01-01"},
		{"opened and full", delivery{n: 1, stage: "opened", bar: 72, source: "measured"}, 1, "", "2028-01-01"},
		{"without any date", delivery{n: 1, label: "none"}, 1, "Undated", ""},
		{"the site's cap", delivery{n: 1, filled: "2025-06-01", label: "2028-01-01"}, 1, "", "2027-06-01"},
	} {
		u := newUtility(t, storetest.New(t))
		c.d.item, c.d.supplier, c.d.lot = "Q4", "northbank", "E"
		switch c.d.label {
		case "":
			c.d.label = "2028-01-01"
		case "none":
			c.d.label = ""
		}
		u.deliver(c.d)
		l := u.line("Q4").Lots[0]
		if !near(l.Units, c.units, 0.015) || l.Held != c.held || l.ExpiresOn != c.expire {
			t.Errorf("%s: %v units held by %q until %q; want %v, %q, %q", c.name, l.Units, l.Held, l.ExpiresOn, c.units, c.held, c.expire)
		}
	}
}

func TestSpentAndGoneAreNotStock(t *testing.T) {
	u := newUtility(t, storetest.New(t))
	u.deliver(delivery{item: "Q4", supplier: "northbank", lot: "F", n: 2, label: "2028-01-01", stage: "spent"})
	u.deliver(delivery{item: "Q4", supplier: "northbank", lot: "G", n: 2, label: "2028-01-01", stage: "gone"})
	if l := u.line("Q4"); l.OnHand != 0 || len(l.Lots) != 0 {
		t.Errorf("%v on hand: %+v", l.OnHand, l.Lots)
	}
}

func TestBeforeTheUseByMeansTheDayBefore(t *testing.T) {
	u := newUtility(t, storetest.New(t))
	u.deliver(delivery{item: "Q4", supplier: "northbank", lot: "H", n: 4, label: today.AddDays(21)})
	through := u.line("Q4").Usable
	u.make("settings", `{"expiry_valid":"before"}`)
	l := u.line("Q4")
	if perDay := l.Forecast.PerWeek / 7; !near(through-l.Usable, perDay, 1e-9) || l.Lots[0].ExpiresOn != today.AddDays(21) {
		t.Errorf("usable falls from %v to %v, want by %v", through, l.Usable, perDay)
	}
}

func TestEmptyLeadTimeIsAskedFor(t *testing.T) {
	u := newUtility(t, storetest.New(t))
	u.deliver(delivery{item: "Q4", supplier: "northbank", lot: "A", n: 5, filled: "2026-12-01", certificateUntil: "2028-03-01"})
	if _, err := u.books.Change(t.Context(), supervisor, "northbank", &catalogue.Supplier{Code: "northbank", Name: "Northbank Gases"}); err != nil {
		t.Fatal(err)
	}
	l := u.line("Q4")
	if l.State != reorder.ToDecide || l.OrderBy != "" || l.Proposed != 0 || l.Source.LeadDays != 0 ||
		!strings.HasPrefix(l.Why, "the lead time of Northbank Gases is not entered: usable stock lasts ") || len(l.Decide.Options) != 1 {
		t.Errorf("%+v", l)
	}
	if cl := u.line("CL"); cl.State == reorder.ToDecide && strings.Contains(cl.Why, "lead time") {
		t.Errorf("of another supplier: %s", cl.Why)
	}
}

package purchase

import (
	"context"
	"strings"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

// test logs tests of a cylinder in one outing, so many days ago.
func (u *utility) test(c models.Cylinder, daysAgo int, n int) {
	u.t.Helper()
	at := unit.InstantOf(clock().AddDate(0, 0, -daysAgo))
	u.tx(func(ctx context.Context, tx *store.Store) error {
		out := models.Checkout{CylinderID: c.ID, HolderID: u.person(ctx, tx), Tests: "[]", Explained: "[]", TakenAt: at, ReturnedAt: at + 1}
		if err := tx.AddCheckout(ctx, &out); err != nil {
			return err
		}
		rows := make([]models.Test, n)
		for i := range rows {
			rows[i] = models.Test{CheckoutID: out.ID, Instrument: "D-001", ProcedureID: u.id("procedure", "bump-q4"), Result: "pass", Attempts: 1, Readings: "{}", Valid: true, HappenedAt: at, RecordedAt: at, ByName: "technician"}
		}
		return tx.AddTests(ctx, rows)
	})
}

func TestTestsOfADayAreCountedWithItsGas(t *testing.T) {
	u := newUtility(t, storetest.New(t))
	bottle := u.deliver(delivery{item: "Q4", supplier: "northbank", lot: "A", n: 1, label: "2028-01-01"})[0]
	u.write(3, models.Entry{Kind: "use", Subject: store.Subject(bottle.Tag), Quantity: -1500, Unit: "mL", Place: "CAGE"})
	u.test(bottle, 3, 5)
	k, err := u.room.know(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	got := k.past[bottle.ItemID]
	if len(got) != 1 || got[0].On != "2027-02-28" || got[0].Litres != 1.5 || got[0].Tests != 5 {
		t.Errorf("%+v, want 1.5 L and 5 tests on 28 Feb, the site's date", got)
	}
}

func TestWhatIsOutTooLongIsNotCounted(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		u := newUtility(t, s)
		for i, until := range []unit.Date{today.AddDays(-8), today.AddDays(-7), today.AddDays(3), ""} {
			bottle := u.deliver(delivery{item: "Q4", supplier: "northbank", lot: string(rune('A' + i)), n: 1, label: "2028-01-01"})[0]
			u.tx(func(ctx context.Context, tx *store.Store) error {
				return tx.AddCheckout(ctx, &models.Checkout{CylinderID: bottle.ID, HolderID: u.person(ctx, tx), Tests: "[]", Explained: "[]", TakenAt: 1, UntilOn: until})
			})
		}
		l := u.line("Q4")
		if l.OnHand != 3 || len(l.Held) != 1 || l.Held[0].Text != "1 more if what is out late comes back" || !strings.Contains(findings(l), "ask for it back") {
			t.Errorf("%v on hand, held %+v\n%s", l.OnHand, l.Held, findings(l))
		}
	})
}

// person gives somebody who can hold a cylinder.
func (u *utility) person(ctx context.Context, tx *store.Store) int64 {
	u.t.Helper()
	u.next++
	p := models.Person{Name: "technician " + string(rune('A'+u.next)), Role: "technician"}
	if err := tx.AddPerson(ctx, &p); err != nil {
		u.t.Fatal(err)
	}
	return p.ID
}

package stock

import (
	"fmt"
	"testing"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

// What was read before the transaction counts in it only where nothing has changed that the decision rests on.
func TestWhatWasReadAheadIsReadAgainAfterAnyChange(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		for lot, c := range []struct {
			name   string
			change func(tag string)
		}{
			{"nothing", nil},
			{"taken", func(tag string) { h.take("B", tag, 1) }},
			{"another cylinder is held", func(string) { h.hold("B", "cylinder", h.expires("OTHER", "2027-09-01"), Damaged) }},
			{"held", func(tag string) { h.hold("B", "cylinder", tag, DoubtfulGas) }},
			{"its lot is held", func(tag string) { h.hold("B", "lot", fmt.Sprint(h.one(tag).LotID), Recalled) }},
			{"its item is held", func(string) { h.hold("B", "item", "Q4", Management) }},
			{"the regulator is held", func(string) { h.hold("B", "regulator", "R-01", Damaged) }},
			{"released", func(tag string) { h.end(h.one(tag).Holds[0].ID) }},
			{"read", func(tag string) { h.open(tag, 12) }},
			{"moved", func(tag string) { h.moveTo(tag, "VAN-1") }},
			{"its certificate comes", func(tag string) {
				o := q4(h.one(tag).Lot, 1)
				o.Certificate.Number = "C-900"
				h.receive(o)
			}},
			{"other settings", func(string) { h.settings(func(s *catalogue.Settings) { s.RetryPct++ }) }},
			{"another cut-off", func(string) { h.change("item", "Q4", func(o catalogue.Order) { o.(*catalogue.Item).Cutoff = "3 bar" }) }},
			{"a longer procedure", func(string) {
				h.change("procedure", "bump-q4", func(o catalogue.Order) { o.(*catalogue.Procedure).Purge = "0.4 L" })
			}},
			{"another cap", func(string) {
				h.change("component", "H2S", func(o catalogue.Order) { o.(*catalogue.Component).CapMonths = new(int64(5)) })
			}},
			{"another rating", func(string) {
				h.change("regulator", "R-01", func(o catalogue.Order) { o.(*catalogue.Regulator).MaxPressure = "90 bar" })
			}},
			{"the next day", func(string) { h.now = h.now.AddDate(0, 0, 1) }},
		} {
			bare := q4(fmt.Sprintf("LOT-%02d", lot), 1)
			bare.Certificate = nil
			tag := h.receive(bare)[0]
			o := CheckOutOrder{TakeOrder: forBumps(14), Cylinder: tag, Regulator: "R-01"}
			prior, err := h.readAhead(h.ctx(), h.people["A"], o)
			if err != nil || prior.taking == nil {
				t.Fatalf("%s: %+v %v", c.name, prior, err)
			}
			if c.change != nil {
				c.change(tag)
			}
			h.tx(func(tx *store.Store) error {
				again, err := h.readAgain(h.ctx(), tx, h.people["A"], o, prior)
				if read := again.v != prior.taking.v; err != nil || read != (c.change != nil) {
					t.Errorf("%s: read again is %v, %v", c.name, read, err)
				}
				return nil
			})
		}
	})
}

// That somebody did not find the cylinder meanwhile changes no verdict: whoever takes it has found it all the same.
func TestWhoeverTakesACylinderHasFoundIt(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tag := h.receive(q4("7K-2206", 1))[0]
		o := CheckOutOrder{TakeOrder: forBumps(14), Cylinder: tag, Regulator: "R-01"}
		prior, err := h.readAhead(h.ctx(), h.people["A"], o)
		h.must(err)
		h.tx(func(tx *store.Store) error {
			m, err := h.moment(h.ctx(), tx)
			h.must(err)
			return m.task(h.ctx(), tx, auth.Clerk, store.FindTask, store.Subject(unit.Tag(tag)), "find it")
		})
		h.tx(func(tx *store.Store) error {
			again, err := h.readAgain(h.ctx(), tx, h.people["A"], o, prior)
			h.must(err)
			_, err = again.take(h.ctx(), tx, h.act("A"), o, prior.outlook)
			return err
		})
		if sought, err := s.Sought(h.ctx()); err != nil || len(sought) != 0 {
			t.Errorf("still looked for: %v %v", sought, err)
		}
	})
}

func (h *harrowmere) moveTo(tag, place string) {
	h.t.Helper()
	_, err := h.Move(h.ctx(), h.act("clerk"), MoveOrder{Tag: tag, Place: place})
	h.must(err)
}

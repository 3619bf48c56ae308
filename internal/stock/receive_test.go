package stock

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

func TestReceiveTagsEachCylinder(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := goodsIn(t, s)
		a := h.book(q4("7K-2206", 8))
		if a.Counted != 8 || len(a.Cylinders) != 8 || a.Lot == nil || a.Lot.Lot != "7K-2206" || a.Supplier != "northbank" || a.Place != "CAGE" {
			t.Fatalf("received %+v", a)
		}
		tags := map[unit.Tag]bool{}
		for _, c := range a.Cylinders {
			if tag, err := unit.ParseTag(string(c.Tag)); err != nil || tag != c.Tag || tags[tag] {
				t.Errorf("tag %q: %v", c.Tag, err)
			}
			tags[c.Tag] = true
			if c.Stage != Sealed || c.Place != "CAGE" || len(c.Holds) != 0 || *c.PressureBar != 69 || c.PressureSource != Fill {
				t.Errorf("cylinder %+v", c)
			}
		}
		if a.Lot.SupplierExpiresOn != "2027-10-01" || a.Lot.UseBy != a.Lot.ExpiresOn || a.Lot.Certificate != "C-881" {
			t.Errorf("lot %+v", a.Lot)
		}
		read, err := h.Receipt(t.Context(), a.Receipt)
		if h.must(err); !reflect.DeepEqual(read, a) {
			t.Errorf("read again it is\n%+v, was\n%+v", read, a)
		}
		h.verify()
	})
}

// A fill is stated at 21 °C: gas that arrives cold is not more gas, and that it was cold is remembered (R5f, R14b).
func TestAFillIsStatedAtRoomTemperature(t *testing.T) {
	h := goodsIn(t, storetest.New(t))
	o := q4("7K-2206", 1)
	warm := h.one(string(h.book(o).Cylinders[0].Tag))
	o.Temperature = "cold"
	tag := h.book(o).Cylinders[0].Tag
	cold := h.one(string(tag))
	if *cold.UsableL != *warm.UsableL || *cold.UsableLowL != *warm.UsableLowL || cold.TemperatureC != nil {
		t.Errorf("%g L, at least %g, cold; %g, at least %g, warm", *cold.UsableL, *cold.UsableLowL, *warm.UsableL, *warm.UsableLowL)
	}
	row, err := h.Store.CylinderByTag(t.Context(), tag)
	if h.must(err); row.Coldest != unit.TemperatureCelsius(3) {
		t.Errorf("the coldest is %v", row.Coldest)
	}
}

func TestS09TheSiteCapLimitsTheUseBy(t *testing.T) {
	h := goodsIn(t, storetest.New(t))
	lot := h.book(chlorine()).Lot
	want := GovernedBy{shelf.Component, "Cl2", []string{"Cl2"}, "limited by Cl2: site cap 8 months"}
	if lot.SupplierExpiresOn != "2027-08-10" || lot.UseBy != "2027-04-10" || !reflect.DeepEqual(lot.GovernedBy, want) || *lot.DaysLeft != 38 {
		t.Errorf("the lot is %+v", lot)
	}
}

func TestS91LabelAndCertificateAreCompared(t *testing.T) {
	h := goodsIn(t, storetest.New(t))
	o := chlorine()
	o.FilledOn, o.LabelExpiresOn = "2027-01-10", "2027-07-10"
	h.refused(o, "R7 ask")
	o.Reasons = map[string]string{"R7": "the supplier says July"}
	lot := h.book(o).Lot
	if lot.UseBy != "2027-07-10" || lot.GovernedBy.Term != shelf.Label {
		t.Errorf("use by %s, limited by %s", lot.UseBy, lot.GovernedBy.Term)
	}
	entries, err := h.Store.EntriesOf(t.Context(), "cylinder:"+string(h.tags("CL")[0]), 1)
	if h.must(err); entries[0].Reason != "R7: the supplier says July" || entries[0].ByName != "clerk" {
		t.Errorf("the ledger says %q by %q", entries[0].Reason, entries[0].ByName)
	}
}

func TestS03S04LotsAreOfTheirSupplier(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := goodsIn(t, s)
		first := h.book(q4("7K-2206", 8))
		other := chlorine()
		other.Lot = "7k-2206"
		h.refused(other, "R2 stop")
		other.Supplier = "ferrow"
		second := h.book(other)
		if second.Lot.ID == first.Lot.ID {
			t.Error("two suppliers share a lot")
		}
		again := q4("7K-2206", 8)
		again.Lot, again.Counted = " 7k-2206 ", 2
		third := h.book(again)
		if third.Lot.ID != first.Lot.ID || third.Receipt == first.Receipt || len(third.Cylinders) != 2 || third.Cylinders[0].Stage != Sealed {
			t.Errorf("the second delivery is %+v", third)
		}
		h.verify()
	})
}

func TestS17ADoubleTapIsOneReceipt(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := goodsIn(t, s)
		act := h.act("clerk")
		act.Key, act.Hash = "the form's key", "what it says"
		answers := make([]ReceiptAnswer, 6)
		var taps sync.WaitGroup
		for i := range answers {
			taps.Go(func() {
				var err error
				if answers[i], err = h.Receive(t.Context(), act, q4("7K-2206", 8)); err != nil {
					t.Error(err)
				}
			})
		}
		taps.Wait()
		for _, a := range answers[1:] {
			if !reflect.DeepEqual(a, answers[0]) {
				t.Errorf("two taps have two answers: receipts %d and %d", a.Receipt, answers[0].Receipt)
			}
		}
		if n := len(h.tags("Q4")); n != 8 {
			t.Errorf("%d cylinders came of one delivery of 8", n)
		}
	})
}

func TestS18AShellComesBackOnceItsOldFillIsGone(t *testing.T) {
	h := goodsIn(t, storetest.New(t))
	o := q4("7K-2206", 8)
	o.Item, o.Counted, o.Serials = "Q4-R", 1, []string{"88-104"}
	first := h.book(o)
	o.Lot, o.Certificate.Number, o.Serials = "8A-1", "C-999", []string{" 88-104"}
	h.refused(o, "R3 stop|"+string(first.Cylinders[0].Tag))
	h.tx(func(tx *store.Store) error {
		c, err := tx.CylinderByTag(t.Context(), first.Cylinders[0].Tag)
		if err != nil {
			return err
		}
		gone := c
		gone.Stage, gone.PlaceID = Gone, nil
		_, err = tx.PutCylinder(t.Context(), store.Change{Before: c, After: gone, From: "CAGE"}, moment{}.entry(h.act("clerk"), "dispose", ""))
		return err
	})
	second := h.book(o)
	if second.Cylinders[0].Serial != "88-104" || second.Cylinders[0].Tag == first.Cylinders[0].Tag || second.Lot.ID == first.Lot.ID {
		t.Errorf("the new fill is %+v", second.Cylinders[0])
	}
	h.verify()
}

func TestHoldsOfGoodsIn(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := goodsIn(t, s)
		o := q4("7K-2206", 8)
		o.Counted, o.Certificate = 3, nil
		o.Cylinders = []ReceiveCylinder{{Serial: "s-1", Checks: ReceiveChecks{Leaking: true}}}
		a := h.book(o)
		var got []string
		for _, c := range a.Cylinders {
			line := c.Stage
			for _, h := range c.Holds {
				line += " " + h.Reason
			}
			got = append(got, line)
		}
		want := []string{"received Leak suspected Certificate missing", "received Certificate missing", "received Certificate missing"}
		if !slices.Equal(got, want) {
			t.Errorf("on hold are %q, want %q", got, want)
		}
		missing, leak := a.Cylinders[1].Holds[0], a.Cylinders[0].Holds[0]
		if len(a.Lot.Holds) != 1 || a.Lot.Holds[0].ID != missing.ID || a.Cylinders[2].Holds[0].ID != missing.ID {
			t.Error("the lot has more than one hold for its missing certificate")
		}
		if !slices.Equal(leak.MayRelease, []auth.Role{auth.Supervisor}) || leak.Text == "" {
			t.Errorf("the leak is %+v", leak)
		}
		h.end(missing.ID)
		if got := h.stages(a.Receipt); !slices.Equal(got, []string{Received, Sealed, Sealed}) {
			t.Errorf("after one release the stages are %q", got)
		}
		h.end(leak.ID)
		if got := h.stages(a.Receipt); !slices.Equal(got, []string{Sealed, Sealed, Sealed}) {
			t.Errorf("after both releases the stages are %q", got)
		}
		h.verify()
	})
}

func TestACertificateOfOneCylinderIsItsOwn(t *testing.T) {
	h := goodsIn(t, storetest.New(t))
	o := chlorine()
	own := *o.Certificate
	own.Number, own.ExpiresOn = "C-91", "2027-03-20"
	o.Counted, o.Cylinders = 2, []ReceiveCylinder{{Serial: "x1", Certificate: &own}}
	a := h.book(o)
	if a.Cylinders[0].ExpiresOn != "2027-03-20" || a.Cylinders[1].ExpiresOn != "2027-04-10" || a.Lot.UseBy != "2027-04-10" {
		t.Errorf("use by %s and %s, the lot by %s", a.Cylinders[0].ExpiresOn, a.Cylinders[1].ExpiresOn, a.Lot.UseBy)
	}
}

func TestASecondDeliveryBringsTheCertificateOfTheLot(t *testing.T) {
	h := goodsIn(t, storetest.New(t))
	o := q4("7K-2206", 8)
	paper := o.Certificate
	o.Counted, o.Certificate = 1, nil
	first := h.book(o)
	o.Certificate = paper
	second := h.book(o)
	if second.Lot.Certificate != "C-881" || len(second.Cylinders[0].Holds) != 1 || second.Cylinders[0].Stage != Received {
		t.Errorf("the lot is %+v, the cylinder %+v", second.Lot, second.Cylinders[0])
	}
	h.end(second.Cylinders[0].Holds[0].ID)
	if got := h.stages(first.Receipt); got[0] != Sealed {
		t.Errorf("the cylinder of the first delivery is %s", got[0])
	}
}

func TestConsumablesAreCountedOrMeasured(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := goodsIn(t, s)
		filters := ReceiveOrder{Supplier: "northbank", Item: "FILTER-H", Counted: 10, Noted: new(int64(12)), Place: "CAGE"}
		a := h.book(filters)
		if a.Counted != 10 || a.Lot != nil || len(a.Cylinders) != 0 || !strings.Contains(a.Findings[0].Text, "12 pieces noted, 10 counted: 2 short") {
			t.Errorf("received %+v", a)
		}
		h.book(filters)
		tube := h.book(ReceiveOrder{Supplier: "northbank", Item: "TUBE", Quantity: "25 m", Place: "VAN-1"})
		if tube.QuantityM != 25 || tube.Counted != 0 {
			t.Errorf("received %+v", tube)
		}
		for _, want := range []struct {
			item, place, subject, unit string
			quantity, entry            int64
		}{{"FILTER-H", "CAGE", "item:FILTER-H", "each", 20, 10}, {"TUBE", "VAN-1", "item:TUBE", "mm", 25_000, 25_000}} {
			item, err := s.ItemByCode(t.Context(), want.item)
			h.must(err)
			place, err := s.PlaceByCode(t.Context(), want.place)
			h.must(err)
			if n, err := s.Balance(t.Context(), item.ID, place.ID); err != nil || n != want.quantity {
				t.Errorf("%s at %s: %d, want %d (%v)", want.item, want.place, n, want.quantity, err)
			}
			entries, err := s.EntriesOf(t.Context(), want.subject, 1)
			if h.must(err); entries[0].Quantity != want.entry || entries[0].Unit != want.unit || entries[0].Kind != "receive" {
				t.Errorf("the ledger says %+v", entries[0])
			}
		}
		h.verify()
	})
}

func TestWhatIsNoGasHasNoLot(t *testing.T) {
	h := goodsIn(t, storetest.New(t))
	for _, c := range []struct {
		name string
		o    ReceiveOrder
		want string
	}{
		{"a filter with a lot", ReceiveOrder{Item: "FILTER-H", Counted: 1, Lot: "x", Serials: []string{"1"}}, "lot serials"},
		{"a filter by the metre", ReceiveOrder{Item: "FILTER-H", Quantity: "25 m"}, "counted quantity"},
		{"tubing by the piece", ReceiveOrder{Item: "TUBE", Counted: 3}, "counted quantity"},
		{"tubing of no length", ReceiveOrder{Item: "TUBE", Quantity: "0 m"}, "quantity"},
		{"tubing without a unit", ReceiveOrder{Item: "TUBE", Quantity: "25"}, "quantity"},
		{"things that are not there", ReceiveOrder{Supplier: "nobody", Item: "Q5", Place: "nowhere", Counted: 1, Lot: "x"}, "supplier item place"},
		{"nothing at all", ReceiveOrder{Supplier: " "}, "supplier item place lot counted"},
	} {
		if c.o.Supplier == "" {
			c.o.Supplier, c.o.Place = "northbank", "CAGE"
		}
		_, err := h.Receive(t.Context(), h.act("clerk"), c.o)
		if got := strings.Join(wrongFields(err), " "); got != c.want {
			t.Errorf("%s: wrong are %q, want %q", c.name, got, c.want)
		}
	}
	if rows, err := h.Receipts(t.Context(), 0, 0); err != nil || len(rows.Rows) != 0 {
		t.Errorf("what was refused left %v (%v)", rows, err)
	}
}

func TestEverythingIsKeptAsTyped(t *testing.T) {
	h := goodsIn(t, storetest.New(t))
	o := q4("7K-2206", 8)
	o.Pressure, o.Order, o.Counted = "6900 kPa", "PO-17", 1
	a := h.book(o)
	line, err := h.Store.ReceiptByID(t.Context(), a.Receipt)
	h.must(err)
	var kept ReceiveOrder
	h.must(json.Unmarshal([]byte(line.Typed), &kept))
	if !reflect.DeepEqual(kept, o) || a.Order != "PO-17" || *a.Cylinders[0].PressureBar != 69 {
		t.Errorf("kept is %+v, typed was %+v", kept, o)
	}
}

func TestReceiptsAreListedNewestFirst(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := goodsIn(t, s)
		o := q4("7K-2206", 8)
		o.Certificate, o.Counted = nil, 3
		first := h.book(o)
		second := h.book(ReceiveOrder{Supplier: "ferrow", Item: "TUBE", Quantity: "10 ft", Place: "CAGE"})
		page, err := h.Receipts(t.Context(), 0, 1)
		if h.must(err); len(page.Rows) != 1 || page.Rows[0].Receipt != second.Receipt || page.Rows[0].QuantityM != 3.048 || page.Next != second.Receipt {
			t.Fatalf("the first page is %+v", page)
		}
		page, err = h.Receipts(t.Context(), page.Next, 1)
		if h.must(err); page.Next != 0 || page.Rows[0].Receipt != first.Receipt || page.Rows[0].OnHold != 3 || page.Rows[0].Lot != "7K-2206" {
			t.Errorf("the second page is %+v", page)
		}
		if _, err := h.Receipt(t.Context(), 999); problem.KindOf(err) != problem.Missing {
			t.Errorf("a receipt that is not there: %v", err)
		}
	})
}

func TestTheFormKnowsTheCertificateOfAnItem(t *testing.T) {
	h := goodsIn(t, storetest.New(t))
	item, err := h.ReceiveItem(t.Context(), "Q4", "1000 bar")
	h.must(err)
	want := []ReceiveComponent{{"CH4", "2.5 %vol", "%vol"}, {"O2", "18 %vol", "%vol"}, {"CO", "100 ppm", "ppm"}, {"H2S", "25 ppm", "ppm"}}
	if !item.Gas || !slices.Equal(item.Components, want) || item.Meant != "1000 psi" || item.Size != "1 L, 69 bar, CGA C-10" {
		t.Errorf("the form knows %+v", item)
	}
	if item, err = h.ReceiveItem(t.Context(), "TUBE", ""); err != nil || item.Gas || !item.Metres {
		t.Errorf("of tubing it knows %+v (%v)", item, err)
	}
	if item, err = h.ReceiveItem(t.Context(), "Q5", ""); err != nil || item != nil {
		t.Errorf("of what is not there it knows %+v (%v)", item, err)
	}
}

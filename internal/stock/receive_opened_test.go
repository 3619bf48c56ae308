package stock

import (
	"slices"
	"strings"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

func TestOpenedStockIsNoNewDelivery(t *testing.T) {
	twenty := int64(20)
	half := func(change func(o *ReceiveOrder)) func(*delivering) {
		return func(d *delivering) {
			d.order.Opened, d.order.Pressure, d.order.Counted = true, "41 bar", 2
			change(&d.order)
		}
	}
	runRules(t, []rule{
		{name: "S98 part used, nobody knows when", change: half(func(*ReceiveOrder) {})},
		{name: "little life left is no claim", change: half(func(o *ReceiveOrder) {
			o.LabelExpiresOn, o.Certificate.ExpiresOn = "2027-04-01", "2027-04-01"
		})},
		{name: "neither noted nor bought now", change: func(d *delivering) {
			half(func(o *ReceiveOrder) { o.Noted, o.Order = &twenty, "PO-9" })(d)
			d.known.source = nil
		}},
		{name: "little gas is what part used means", change: half(func(o *ReceiveOrder) { o.Pressure = "7 bar" })},
		{name: "more than fits is wrong all the same", change: half(func(o *ReceiveOrder) { o.Pressure = "1000 bar" }), stop: "R5f|1000 psi = 68.9 bar?"},
		{name: "a missing certificate holds it", change: half(func(o *ReceiveOrder) { o.Certificate = nil }), note: "no certificate", holds: "lot: Certificate missing"},
		{name: "its seal is broken", change: half(func(o *ReceiveOrder) {
			o.Cylinders = []ReceiveCylinder{{Checks: ReceiveChecks{Seal: new(false), Dents: true}}}
		}), note: "dents →", holds: "cylinder 1: Damaged/doubtful"},
		{name: "one of a new delivery is opened", change: func(d *delivering) {
			d.order.Cylinders = []ReceiveCylinder{{Opened: true, Pressure: "20 bar"}}
			d.order.LabelExpiresOn, d.order.Certificate.ExpiresOn = "2027-04-01", "2027-04-01"
		}, note: "29 days are left", holds: "lot: Short-dated"},
	})
}

func TestNothingIsMadeUpForAnOpenedCylinder(t *testing.T) {
	type state struct {
		opened bool
		on     unit.Date
		bar    float64
		source string
		gauge  string
	}
	sealed, unread := state{bar: 69, source: Fill}, state{opened: true, source: Unknown}
	for _, c := range []struct {
		name   string
		change func(o *ReceiveOrder)
		want   []state
	}{
		{"one of three", func(o *ReceiveOrder) { o.Cylinders = []ReceiveCylinder{{Opened: true}} }, []state{unread, sealed, sealed}},
		{"all, and none was read", func(o *ReceiveOrder) { o.Opened, o.Gauge = true, "digital" }, []state{unread, unread, unread}},
		{"all were read, with one gauge", func(o *ReceiveOrder) { o.Opened, o.Pressure = true, "41 bar" },
			slices.Repeat([]state{{true, "", 41, Measured, "dial"}}, 3)},
		{"one was read", func(o *ReceiveOrder) {
			o.Opened, o.OpenedOn, o.Gauge = true, "2027-02-01", "digital"
			o.Cylinders = []ReceiveCylinder{{Pressure: "41 bar", OpenedOn: "2027-01-31"}}
		}, []state{{true, "2027-01-31", 41, Measured, "digital"}, {true, "2027-02-01", 0, Unknown, ""}, {true, "2027-02-01", 0, Unknown, ""}}},
		{"the fill of the others is not its pressure", func(o *ReceiveOrder) {
			o.Pressure, o.Cylinders = "69 bar", []ReceiveCylinder{{Opened: true, OpenedOn: "1 Feb 2027"}}
		}, []state{{true, "2027-02-01", 0, Unknown, ""}, sealed, sealed}},
	} {
		d := delivery8()
		d.order.Counted = 3
		c.change(&d.order)
		read, err := readDelivery(d.known.moment, d.names, d.order)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		for i, a := range read.cylinders {
			if got := (state{a.opened, a.openedOn, a.pressure.Bar(), a.source, a.gauge}); got != c.want[i] {
				t.Errorf("%s: cylinder %d is %+v, want %+v", c.name, i, got, c.want[i])
			}
		}
	}
}

func TestWhatIsWrongWithOpenedStock(t *testing.T) {
	for name, c := range map[string]struct {
		change func(o *ReceiveOrder)
		want   string
	}{
		"a day and nothing opened":       {func(o *ReceiveOrder) { o.OpenedOn = "2027-02-01" }, "opened_on"},
		"a row's day and nothing opened": {func(o *ReceiveOrder) { o.Cylinders = []ReceiveCylinder{{OpenedOn: "2027-02-01"}} }, "cylinders.0.opened_on"},
		"a day to come":                  {func(o *ReceiveOrder) { o.Opened, o.OpenedOn = true, "2027-03-04" }, "opened_on"},
		"before the fill":                {func(o *ReceiveOrder) { o.Opened, o.OpenedOn = true, "2026-09-30" }, "opened_on"},
		"no day at all":                  {func(o *ReceiveOrder) { o.Cylinders = []ReceiveCylinder{{Opened: true, OpenedOn: "soon"}} }, "cylinders.0.opened_on"},
		"a day for the opened one":       {func(o *ReceiveOrder) { o.OpenedOn, o.Cylinders = "2027-02-01", []ReceiveCylinder{{Opened: true}} }, ""},
		"its fill":                       {func(o *ReceiveOrder) { o.Opened, o.Pressure, o.PressureSource = true, "69 bar", Fill }, "pressure_source"},
		"measured without a figure":      {func(o *ReceiveOrder) { o.Opened, o.PressureSource = true, Measured }, "pressure"},
	} {
		d := delivery8()
		c.change(&d.order)
		_, err := readDelivery(d.known.moment, d.names, d.order)
		if got := strings.Join(wrongFields(err), " "); got != c.want {
			t.Errorf("%s: %q is wrong, want %q (%v)", name, got, c.want, err)
		}
	}
}

func TestOpeningStockIsUsableWithLimits(t *testing.T) { // S98, R51
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		stock := q4("7K-2206", 2)
		stock.Opened, stock.Cylinders = true, []ReceiveCylinder{{Pressure: "41 bar"}}
		a := h.book(stock)
		read, unread := h.one(string(a.Cylinders[0].Tag)), h.one(string(a.Cylinders[1].Tag))
		if a.Cylinders[0].Stage != Opened || read.Stage != Opened || read.OpenedOn != "" || *read.PressureBar != 41 || read.PressureSource != Measured {
			t.Errorf("%s, opened on %q, %v bar, %s", read.Stage, read.OpenedOn, *read.PressureBar, read.PressureSource)
		}
		if r := read.Readiness; r.State != Limited || len(r.Purposes) != 4 || r.ByPurpose[0] != (ReadyFor{Bump, Usable, ""}) || r.ByPurpose[3] != (ReadyFor{Calibration, Limited, "nobody knows when it was opened"}) {
			t.Errorf("Q4 that was read: %+v", r)
		}
		if r := unread.Readiness; unread.PressureBar != nil || unread.PressureSource != Unknown || r.State != DoNotUse {
			t.Errorf("Q4 that nobody read: %v bar, %+v", unread.PressureBar, r)
		}
		cl := chlorine()
		cl.Opened, cl.Pressure, cl.Counted = true, "41 bar", 1
		r := h.one(h.receive(cl)[0]).Readiness
		if r.State != Limited || !slices.Equal(r.Purposes, []Purpose{Bump, Line}) || !strings.Contains(r.ByPurpose[3].Why, "it is for bump tests only") {
			t.Errorf("CL: %+v", r)
		}
		h.verify()
	})
}

func TestOpenedStockOnHoldStaysOpened(t *testing.T) {
	h := settle(t, storetest.New(t))
	bare := q4("7K-2206", 1)
	bare.Opened, bare.OpenedOn, bare.Pressure, bare.Certificate = true, "2027-02-01", "41 bar", nil
	a := h.book(bare)
	c := a.Cylinders[0]
	if c.Stage != Opened || c.OpenedOn != "2027-02-01" || len(c.Holds) != 1 {
		t.Errorf("%+v", c)
	}
	if r := h.one(string(c.Tag)).Readiness; r.State != Limited || !slices.Equal(r.Purposes, []Purpose{Bump, Line}) {
		t.Errorf("%+v", r)
	}
	h.end(c.Holds[0].ID)
	if one := h.one(string(c.Tag)); one.Stage != Opened || one.Readiness.State != Usable {
		t.Errorf("%s %+v", one.Stage, one.Readiness)
	}
	h.verify()
}

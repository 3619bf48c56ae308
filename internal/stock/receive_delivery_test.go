package stock

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// wrongFields gives the names of the fields that an error speaks of.
func wrongFields(err error) []string {
	var p *problem.Error
	var names []string
	if errors.As(err, &p) {
		for _, f := range p.Fields {
			names = append(names, f.Name)
		}
	}
	return names
}

func TestWhatIsWrongWithADeliveryIsToldAtOnce(t *testing.T) {
	long := strings.Repeat("x", longestName+1)
	for _, c := range []struct {
		name   string
		change func(o *ReceiveOrder)
		want   string
	}{
		{"nothing", func(*ReceiveOrder) {}, ""},
		{"no lot", func(o *ReceiveOrder) { o.Lot = " \t" }, "lot"},
		{"a lot of several lines", func(o *ReceiveOrder) { o.Lot = "7K\n2206" }, "lot lot"},
		{"none counted", func(o *ReceiveOrder) { o.Counted = 0 }, "counted"},
		{"fewer than none", func(o *ReceiveOrder) { o.Counted = -3 }, "counted"},
		{"more than fit", func(o *ReceiveOrder) { o.Counted = 501 }, "counted"},
		{"noted below none", func(o *ReceiveOrder) { o.Noted = new(int64(-1)) }, "noted"},
		{"a quantity of cylinders", func(o *ReceiveOrder) { o.Quantity = "25 m" }, "quantity"},
		{"long words", func(o *ReceiveOrder) {
			o.Order, o.Serials, o.Certificate.Number = long, []string{long}, long
		}, "order certificate.number serials.0"},
		{"a long reason", func(o *ReceiveOrder) { o.Reasons = map[string]string{"R7": strings.Repeat("x", 401), "R2": "fine"} }, "reasons.R7"},
		{"R7b a date that reads two ways", func(o *ReceiveOrder) { o.LabelExpiresOn = "05/04/27" }, "label_expires_on"},
		{"S06 a month that is none", func(o *ReceiveOrder) { o.LabelExpiresOn = "2027-13-45" }, "label_expires_on"},
		{"dates to come", func(o *ReceiveOrder) {
			o.FilledOn, o.AssayedOn, o.Certificate.IssuedOn = "2027-03-04", "2027-03-05", "2027-03-06"
		}, "filled_on assayed_on certificate.issued_on"},
		{"an assay before the fill", func(o *ReceiveOrder) { o.AssayedOn = "2026-09-01" }, "assayed_on"},
		{"an expiry before the fill", func(o *ReceiveOrder) { o.LabelExpiresOn, o.Certificate.ExpiresOn = "2026-09-01", "2026-08-01" }, "label_expires_on certificate.expires_on"},
		{"months of nothing", func(o *ReceiveOrder) { o.ValidMonths = new(int64(0)) }, "valid_months"},
		{"months from nowhere", func(o *ReceiveOrder) {
			o.ValidMonths, o.FilledOn, o.Certificate = new(int64(6)), "", nil
		}, "valid_months"},
		{"bare numbers", func(o *ReceiveOrder) {
			o.Pressure, o.Temperature, o.Certificate.MinUsePressure, o.Certificate.Values[0].Amount = "69", "21", "3", "2.5"
		}, "certificate.min_use_pressure certificate.values.0.amount pressure temperature"},
		{"a source of its own making", func(o *ReceiveOrder) { o.PressureSource = "guessed" }, "pressure_source"},
		{"measured without a figure", func(o *ReceiveOrder) { o.PressureSource = Measured }, "pressure"},
		{"one measured without a figure", func(o *ReceiveOrder) {
			o.PressureSource, o.Counted = Measured, 2
			o.Cylinders = []ReceiveCylinder{{Serial: "1", Pressure: "68 bar"}, {Serial: "2"}}
		}, "cylinders.1.pressure"},
		{"an unknown gauge", func(o *ReceiveOrder) { o.Gauge = "sundial" }, "gauge"},
		{"more serials than cylinders", func(o *ReceiveOrder) { o.Counted, o.Serials = 2, []string{"1", "2", "3"} }, "cylinders"},
		{"serials and other rows", func(o *ReceiveOrder) {
			o.Counted, o.Serials, o.Cylinders = 2, []string{"1", "2"}, []ReceiveCylinder{{Serial: "3"}}
		}, "cylinders"},
		{"a kind of its own", func(o *ReceiveOrder) { o.Certificate.Kind = "birth" }, "certificate.kind"},
		{"an unknown component", func(o *ReceiveOrder) { o.Certificate.Values[1].Component = "Xe" }, "certificate.values.1.component"},
		{"no component", func(o *ReceiveOrder) { o.Certificate.Values[1].Component = "" }, "certificate.values.1.component"},
		{"a component twice", func(o *ReceiveOrder) { o.Certificate.Values[1].Component = "ch4" }, "certificate.values.1.component"},
		{"an uncertainty without an amount", func(o *ReceiveOrder) { o.Certificate.Values[3].Amount = "" }, "certificate.values.3.amount"},
		{"an uncertainty that reads two ways", func(o *ReceiveOrder) { o.Certificate.Values[3].Uncertainty = "2 %" }, "certificate.values.3.uncertainty"},
		{"wrong in a row", func(o *ReceiveOrder) {
			o.Cylinders = []ReceiveCylinder{{}, {Pressure: "5", Temperature: "-300 C", Gauge: "x", Certificate: &CertificateOrder{IssuedOn: "never"}}}
		}, "cylinders.1.pressure cylinders.1.temperature cylinders.1.gauge cylinders.1.certificate.issued_on"},
	} {
		d := delivery8()
		c.change(&d.order)
		_, err := readDelivery(d.known.moment, d.names, d.order)
		if got := strings.Join(wrongFields(err), " "); got != c.want {
			t.Errorf("%s: wrong are %q, want %q", c.name, got, c.want)
		}
	}
}

func TestEveryWrongFieldSaysTheNextStep(t *testing.T) {
	d := delivery8()
	d.order = ReceiveOrder{Lot: "\x01", Counted: -1, FilledOn: "x", Pressure: "x", Gauge: "x", PressureSource: "x", ValidMonths: new(int64(999)),
		Certificate: &CertificateOrder{Kind: "x", Number: "x", Values: []ValueOrder{{"x", "x", "x"}}}}
	_, err := readDelivery(d.known.moment, d.names, d.order)
	var p *problem.Error
	if !errors.As(err, &p) || len(p.Fields) < 10 {
		t.Fatalf("told is %v", err)
	}
	for _, f := range p.Fields {
		if f.Text == "" || f.Advice == "" {
			t.Errorf("%s: %q, advice %q", f.Name, f.Text, f.Advice)
		}
	}
}

func TestMonthsOfValidityAreCountedToTheLastDayOfTheMonth(t *testing.T) {
	for _, c := range []struct {
		name, today, assayed string
		months               int64
		paper                bool
		want                 unit.Date
	}{
		{"S08 from a leap day", "2028-03-01", "2028-02-29", 12, true, "2029-02-28"},
		{"S08 into a leap February", "2027-07-01", "2027-06-30", 8, true, "2028-02-29"},
		{"by the label where there is no document", "2027-07-01", "2027-06-30", 8, false, "2028-02-29"},
	} {
		d := delivery8()
		d.known.today = unit.Date(c.today)
		d.order.FilledOn, d.order.AssayedOn, d.order.LabelExpiresOn, d.order.ValidMonths = "", unit.Date(c.assayed), "", &c.months
		d.order.Certificate.IssuedOn, d.order.Certificate.ExpiresOn = "", ""
		if !c.paper {
			d.order.Certificate = nil
		}
		read, err := readDelivery(d.known.moment, d.names, d.order)
		if err != nil {
			t.Fatal(err)
		}
		got := read.labelOn
		if c.paper {
			got = read.paper.ExpiresOn
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestSerialsAndRowsMeet(t *testing.T) {
	d := delivery8()
	d.order.Counted = 5
	d.order.Serials = []string{"b-1", "b-2", "b-3"}
	d.order.Pressure = "70 bar"
	d.order.Cylinders = []ReceiveCylinder{{}, {Serial: "B-2", Pressure: "60 bar"}, {Checks: ReceiveChecks{Dents: true}}}
	read, err := readDelivery(d.known.moment, d.names, d.order)
	if err != nil {
		t.Fatal(err)
	}
	var serials []string
	var bars []float64
	for _, c := range read.cylinders {
		serials, bars = append(serials, c.serial), append(bars, c.pressure.Bar())
	}
	if !slices.Equal(serials, []string{"B-1", "B-2", "B-3", "", ""}) || !slices.Equal(bars, []float64{70, 60, 70, 70, 70}) {
		t.Errorf("serials %q, bars %v", serials, bars)
	}
	if !read.cylinders[3].checks.Dents || read.cylinders[4].checks.Dents {
		t.Error("the dents are on the wrong cylinder")
	}
}

func TestUncertaintyMayBeAShareOfTheValue(t *testing.T) {
	for typed, want := range map[unit.Typed]unit.Amount{"0.5 ppm": 500, "2 %rel": 500, "2%rel": 500, "0.00005 %vol": 500, "": 0} {
		r := &orderReader{}
		if got := r.uncertainty("u", typed, 25_000); got != want || len(r.wrong) > 0 {
			t.Errorf("%q of 25 ppm is %d ppb, want %d (%v)", typed, got, want, r.wrong)
		}
	}
}

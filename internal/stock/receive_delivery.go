package stock

import (
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// The bounds of one delivery.
const (
	mostCounted = 500
	mostNoted   = 100_000
	mostMonths  = 240
)

// delivery is an order for gas that has been read: every quantity and date understood, one arrival for each cylinder counted.
type delivery struct {
	receivedNames
	lot, key  string // as typed, and as compared
	order     string
	noted     *int64
	filledOn  unit.Date
	assayedOn unit.Date
	labelOn   unit.Date
	months    int    // how long it is said to be valid; 0 where nobody said
	paper     *paper // nil where there is no document
	cylinders []arrival
	asks      []problem.Finding // what the order itself leaves to compare
}

// arrival is one cylinder as it came.
type arrival struct {
	serial      string
	pressure    unit.Pressure    // the item's fill where nobody typed one
	typed       unit.Typed       // the pressure as typed, or ""
	temperature unit.Temperature // 0 where nobody took it
	gauge       string
	source      string
	opened      bool
	openedOn    unit.Date // "" where nobody knows
	checks      ReceiveChecks
	paper       *paper // its own, or nil
}

// readDelivery reads an order for gas, and tells everything that is wrong with it at once.
func readDelivery(m moment, names receivedNames, o ReceiveOrder) (delivery, error) {
	r := &orderReader{moment: m, names: names, wrong: names.wrong}
	d := delivery{receivedNames: names, noted: o.Noted}
	d.lot = r.labelText("lot", o.Lot, lotOf)
	if d.key = unit.Fold(d.lot); d.key == "" {
		r.wrong.Add("lot", "the lot is not given", "copy it from the label or the certificate")
	}
	d.order = r.text("order", o.Order, longestName)
	if o.Quantity != "" {
		r.wrong.Add("quantity", "cylinders are counted, not measured", "give the number of cylinders as counted")
	}
	r.counts(o)
	r.reasons(o.Reasons)
	r.dates(o, &d)
	r.cylinders(o, &d)
	return d, r.wrong.Err()
}

// counts checks the two counts that every delivery may have.
func (r *orderReader) counts(o ReceiveOrder) {
	if o.Counted < 1 || o.Counted > mostCounted {
		r.wrong.Add("counted", fmt.Sprintf("%d is out of range", o.Counted), fmt.Sprintf("count what is there: from 1 to %d in one delivery", mostCounted))
	}
	if o.Noted != nil && (*o.Noted < 0 || *o.Noted > mostNoted) {
		r.wrong.Add("noted", fmt.Sprintf("%d is out of range", *o.Noted), "copy the number from the delivery note, or leave it out")
	}
}

// cylinders makes one arrival for each cylinder counted.
func (r *orderReader) cylinders(o ReceiveOrder, d *delivery) {
	usual, rows := r.usual(o), r.rows(o)
	opened := r.openedAll(o, d.filledOn)
	for i, row := range rows {
		d.cylinders = append(d.cylinders, r.special(usual, row, opened))
		d.lasts(d.cylinders[i].paper)
		if usual.source == Measured && d.cylinders[i].typed == "" {
			r.wrong.Add(row.field("pressure"), "the pressure is said to be measured and is not given", "read the gauge, or leave the source at the fill specification")
		}
	}
	switch missing := o.Counted - int64(len(rows)); {
	case o.Counted < 1 || o.Counted > mostCounted:
	case missing < 0:
		r.wrong.Add("cylinders", fmt.Sprintf("serials and rows are of %d cylinders, %d are counted", len(rows), o.Counted),
			"count again; a row about a cylinder of the list carries its serial")
	case missing > 0 && usual.source == Measured && usual.typed == "":
		r.wrong.Add("pressure", "the pressure is said to be measured and is not given", "read the gauge, or leave the source at the fill specification")
	default:
		for range missing {
			d.cylinders = append(d.cylinders, r.half(usual, opened))
		}
	}
}

// usual reads what holds for every cylinder of the delivery.
func (r *orderReader) usual(o ReceiveOrder) arrival {
	a := arrival{pressure: r.names.item.FillPressure, typed: o.Pressure, source: o.PressureSource}
	switch a.source {
	case Fill, Measured:
	case "":
		a.source = Fill
	default:
		r.wrong.Add("pressure_source", fmt.Sprintf("%q is no source of a pressure here", clip(o.PressureSource)), "choose fill, or measured where a gauge was read")
	}
	if o.Pressure != "" {
		a.pressure = quantityOf(r, "pressure", o.Pressure, unit.ParsePressure)
	}
	a.temperature = r.temperature("temperature", o.Temperature)
	a.gauge = r.gauge("gauge", o.Gauge)
	if a.gauge == "" && a.source == Measured {
		a.gauge = r.settings.DefaultGauge
	}
	return a
}

// special reads what a row says of one cylinder over what holds for all.
func (r *orderReader) special(usual arrival, row namedRow, opened halfUsed) arrival {
	a := usual
	a.serial, a.checks = row.Serial, row.Checks
	if row.Pressure != "" {
		a.pressure, a.typed = quantityOf(r, row.field("pressure"), row.Pressure, unit.ParsePressure), row.Pressure
	}
	if row.Temperature != "" {
		a.temperature = r.temperature(row.field("temperature"), row.Temperature)
	}
	if g := r.gauge(row.field("gauge"), row.Gauge); g != "" {
		a.gauge = g
	}
	a.paper = r.certificate(row.field("certificate."), row.Certificate)
	return r.half(a, r.openedRow(opened, row))
}

// namedRow is what is special about a cylinder, with the name under which the order has it.
type namedRow struct {
	ReceiveCylinder
	name string
}

func (row namedRow) field(of string) string { return row.name + "." + of }

// rows puts the serials and the special cylinders together: a row with a serial of the list is about that cylinder.
func (r *orderReader) rows(o ReceiveOrder) []namedRow {
	var rows []namedRow
	listed := map[string]int{}
	for i, serial := range o.Serials {
		name := fmt.Sprintf("serials.%d", i)
		serial = unit.Fold(r.labelText(name, serial, serialOf))
		listed[serial] = len(rows)
		rows = append(rows, namedRow{ReceiveCylinder{Serial: serial}, name})
	}
	for i, c := range o.Cylinders {
		if c.blank() {
			continue
		}
		row := namedRow{c, fmt.Sprintf("cylinders.%d", i)}
		row.Serial = unit.Fold(r.labelText(row.field("serial"), c.Serial, serialOf))
		if at, known := listed[row.Serial]; known && row.Serial != "" {
			rows[at] = row
			delete(listed, row.Serial)
			continue
		}
		rows = append(rows, row)
	}
	return rows
}

func (c ReceiveCylinder) blank() bool {
	bare := c
	bare.Certificate = nil
	return bare == (ReceiveCylinder{}) && c.Certificate.blank()
}

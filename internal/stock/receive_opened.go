package stock

import (
	"fmt"
	"slices"

	"spanroom/internal/unit"
)

// halfUsed is what an order says of cylinders that were opened before they came in (R51).
type halfUsed struct {
	opened   bool
	on       unit.Date // "" where nobody knows
	read     bool      // the pressure was read on a gauge
	filledOn unit.Date
}

// openedAll reads what the order says of every cylinder of a delivery.
func (r *orderReader) openedAll(o ReceiveOrder, filledOn unit.Date) halfUsed {
	h := halfUsed{opened: o.Opened, filledOn: filledOn, read: o.Pressure != "" && (o.Opened || o.PressureSource == Measured)}
	some := o.Opened || slices.ContainsFunc(o.Cylinders, func(c ReceiveCylinder) bool { return c.Opened })
	h.on = r.openedOn("opened_on", o.OpenedOn, some, filledOn)
	if o.Opened && o.Pressure != "" && o.PressureSource == Fill {
		r.wrong.Add("pressure_source", "an opened cylinder does not hold its fill any more", "choose measured where a gauge was read, or leave the pressure out")
	}
	return h
}

// openedRow reads what a row says of one cylinder over what is said of all.
func (r *orderReader) openedRow(all halfUsed, row namedRow) halfUsed {
	h := all
	h.opened, h.read = all.opened || row.Opened, all.read || row.Pressure != ""
	if on := r.openedOn(row.field("opened_on"), row.OpenedOn, h.opened, all.filledOn); on != "" {
		h.on = on
	}
	return h
}

func (r *orderReader) openedOn(field string, typed unit.Date, opened bool, filledOn unit.Date) unit.Date {
	on := r.past(field, typed)
	switch {
	case typed != "" && !opened:
		r.wrong.Add(field, "a day of opening is given, and it is not said that it is opened", "say that it is opened already, or leave the day out")
	case on != "" && on < filledOn:
		r.wrong.Add(field, fmt.Sprintf("%s is before the fill on %s", on.Words(), filledOn.Words()), "compare both days, or leave it out where nobody knows")
	}
	return on
}

// half makes an arrival an opened one. No day and no pressure is made up for it.
func (r *orderReader) half(a arrival, h halfUsed) arrival {
	if !h.opened {
		return a
	}
	a.opened, a.openedOn = true, h.on
	if !h.read {
		a.source, a.pressure, a.typed, a.gauge = Unknown, 0, "", ""
		return a
	}
	if a.source = Measured; a.gauge == "" {
		a.gauge = r.settings.DefaultGauge
	}
	return a
}

// opened tells whether all of it was opened before it came in: stock of earlier days, and no delivery of this one.
func (d delivery) opened() bool {
	return !slices.ContainsFunc(d.cylinders, func(a arrival) bool { return !a.opened })
}

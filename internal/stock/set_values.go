package stock

import (
	"context"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// recordSetValues keeps what a check-out says of the instruments: the set values that are entered for this gas (R17), and that
// the screens were compared (R28).
func (t taking) recordSetValues(ctx context.Context, tx *store.Store, act auth.Act, o CheckOutOrder) error {
	for _, edit := range t.edits(o) {
		err := catalogue.Room{Store: tx, Now: t.v.at.Time}.Amend(ctx, tx, act, "instrument", edit.serial, func(order catalogue.Order) {
			edit.apply(order.(*catalogue.Instrument), t.models)
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// instrumentEdit is what changes of one instrument.
type instrumentEdit struct {
	serial    string
	on        unit.Date
	entered   []fit.Entry
	confirmed bool
}

func (e instrumentEdit) apply(i *catalogue.Instrument, models map[string]catalogue.Model) {
	if e.confirmed {
		i.SetValuesConfirmedOn = e.on
	}
	for _, entry := range e.entered {
		i.SetTo(models[i.Model], fit.Channel{Component: entry.Component, Name: entry.Name}, entry.Set)
		// The next calibration compares them with the screens, even one of today: what was compared until now is another value.
		i.ChangedOn, i.SetValuesConfirmedOn = e.on, min(i.SetValuesConfirmedOn, e.on.AddDays(-1))
	}
}

// edits lists the changes by instrument, in the order in which they were named.
func (t taking) edits(o CheckOutOrder) []instrumentEdit {
	var edits []instrumentEdit
	at := map[string]int{}
	edit := func(serial string) *instrumentEdit {
		if _, there := at[serial]; !there {
			at[serial], edits = len(edits), append(edits, instrumentEdit{serial: serial, on: t.v.today})
		}
		return &edits[at[serial]]
	}
	if o.Reasons["R28"] != "" && t.purpose.compares() {
		for _, m := range t.on {
			if m.Unconfirmed == "" {
				continue
			}
			for _, serial := range m.Serials {
				edit(serial).confirmed = true
			}
		}
	}
	if o.SetToCertified && t.purpose.compares() {
		for _, entry := range fit.Entries(t.gas(), t.on, t.v.policy) {
			for _, serial := range entry.Serials {
				e := edit(serial)
				e.entered = append(e.entered, entry)
			}
		}
	}
	return edits
}

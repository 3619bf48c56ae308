package stock

import (
	"context"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// ReceiveOrder is a delivery of one item as the clerk enters it. Gas comes by lot and is counted in cylinders; anything else
// is counted each, or measured by Quantity where the item is sold by the metre.
//
// Serials names cylinders from the first on. A row of Cylinders is about the cylinder with its serial, or about the next one
// without a serial of its own; what it leaves out is as for the whole delivery.
//
// Opened is for stock that was part used before it was booked in: of such a cylinder nobody knows the pressure unless a gauge was
// read, nor since when it is opened unless OpenedOn says so (R51).
type ReceiveOrder struct {
	Supplier       string            `json:"supplier"`
	Item           string            `json:"item"`
	Lot            string            `json:"lot,omitempty"`
	Counted        int64             `json:"counted,omitempty"`
	Quantity       unit.Typed        `json:"quantity,omitempty"`
	Noted          *int64            `json:"noted,omitempty"`
	Order          string            `json:"order,omitempty"`
	FilledOn       unit.Date         `json:"filled_on,omitempty"`
	AssayedOn      unit.Date         `json:"assayed_on,omitempty"`
	ValidMonths    *int64            `json:"valid_months,omitempty"`
	LabelExpiresOn unit.Date         `json:"label_expires_on,omitempty"`
	Opened         bool              `json:"opened,omitempty"`
	OpenedOn       unit.Date         `json:"opened_on,omitempty"`
	Place          string            `json:"place"`
	Pressure       unit.Typed        `json:"pressure,omitempty"`
	Temperature    unit.Typed        `json:"temperature,omitempty"`
	Gauge          string            `json:"gauge,omitempty"`
	PressureSource string            `json:"pressure_source,omitempty"` // fill, the default, or measured, as it is of what is opened
	Serials        []string          `json:"serials,omitempty"`
	Cylinders      []ReceiveCylinder `json:"cylinders,omitempty"`
	Certificate    *CertificateOrder `json:"certificate,omitempty"`
	Reasons        map[string]string `json:"reasons,omitempty"`
}

// ReceiveCylinder is what is special about one cylinder of a delivery.
type ReceiveCylinder struct {
	Serial      string            `json:"serial,omitempty"`
	Opened      bool              `json:"opened,omitempty"`
	OpenedOn    unit.Date         `json:"opened_on,omitempty"`
	Pressure    unit.Typed        `json:"pressure,omitempty"`
	Temperature unit.Typed        `json:"temperature,omitempty"`
	Gauge       string            `json:"gauge,omitempty"`
	Checks      ReceiveChecks     `json:"checks,omitzero"`
	Certificate *CertificateOrder `json:"certificate,omitempty"`
}

// ReceiveChecks is what looking at a cylinder showed. Cap, Seal and Label say whether each is in order; Dents, Rust and
// Leaking whether any was found. What is left out was looked at and is in order.
type ReceiveChecks struct {
	Cap     *bool `json:"cap,omitempty"`
	Seal    *bool `json:"seal,omitempty"`
	Label   *bool `json:"label,omitempty"`
	Dents   bool  `json:"dents,omitempty"`
	Rust    bool  `json:"rust,omitempty"`
	Leaking bool  `json:"leaking,omitempty"`
}

// CertificateOrder is a document as it is typed in: of analysis, the default, or of conformity. One on which nothing is
// filled in but component names is no document.
type CertificateOrder struct {
	Kind           string       `json:"kind,omitempty"`
	Number         string       `json:"number,omitempty"`
	IssuedOn       unit.Date    `json:"issued_on,omitempty"`
	ExpiresOn      unit.Date    `json:"expires_on,omitempty"`
	MinUsePressure unit.Typed   `json:"min_use_pressure,omitempty"`
	Values         []ValueOrder `json:"values,omitempty"`
}

// ValueOrder is one certified amount with its uncertainty, which is an amount too or a share such as "2 %rel".
type ValueOrder struct {
	Component   string     `json:"component"`
	Amount      unit.Typed `json:"amount,omitempty"`
	Uncertainty unit.Typed `json:"uncertainty,omitempty"`
}

// Receive books a delivery: each cylinder gets its own tag and is sealed, or on hold where a check of goods in fails (R5).
func (r Room) Receive(ctx context.Context, act auth.Act, o ReceiveOrder) (ReceiptAnswer, error) {
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (ReceiptAnswer, error) {
		m, err := r.moment(ctx, tx)
		if err != nil {
			return ReceiptAnswer{}, err
		}
		names, err := findReceived(ctx, tx, o)
		if err != nil {
			return ReceiptAnswer{}, err
		}
		in := intake{tx: tx, moment: m, act: act, names: names}
		if names.item.Kind != "" && names.item.Kind != catalogue.Gas {
			return in.consumable(ctx, o)
		}
		return in.gas(ctx, o)
	})
}

// intake is one delivery on its way in: the transaction, the moment, who acts, and the things that the order names.
type intake struct {
	moment
	tx    *store.Store
	act   auth.Act
	names receivedNames
}

// gas reads the order, looks up what the store knows of such cylinders, decides, and writes.
func (in intake) gas(ctx context.Context, o ReceiveOrder) (ReceiptAnswer, error) {
	d, err := readDelivery(in.moment, in.names, o)
	if err != nil {
		return ReceiptAnswer{}, err
	}
	k, err := in.known(ctx, d)
	if err != nil {
		return ReceiptAnswer{}, err
	}
	p := k.decide(d)
	if err := problem.Refuse(p.findings, o.Reasons); err != nil {
		return ReceiptAnswer{}, err
	}
	return in.write(ctx, o, k, p)
}

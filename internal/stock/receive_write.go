package stock

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"slices"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// write keeps what was decided: lot and document, the line of goods in, the cylinders with their tags, and the holds.
func (in intake) write(ctx context.Context, o ReceiveOrder, k known, p plan) (ReceiptAnswer, error) {
	if err := in.keepLot(ctx, k, &p); err != nil {
		return ReceiptAnswer{}, err
	}
	receipt := models.Receipt{LotID: &p.lot.ID, Quantity: int64(len(p.cylinders)), CountedIn: in.names.item.CountedIn}
	if err := in.keepReceipt(ctx, o, p.findings, &receipt); err != nil {
		return ReceiptAnswer{}, err
	}
	rows, err := in.rows(ctx, k, p, receipt.ID)
	if err != nil {
		return ReceiptAnswer{}, err
	}
	e := in.entry(in.act, "receive", inOneLine(o.Reasons))
	e.Place = in.names.place.Code
	if rows, err = in.tx.AddCylinders(ctx, rows, e); err != nil {
		return ReceiptAnswer{}, err
	}
	if err := in.keepHolds(ctx, p, rows); err != nil {
		return ReceiptAnswer{}, err
	}
	return receiptAnswer(ctx, in.tx, in.moment, receipt.ID)
}

// keepLot keeps a new lot, or what a known one gains, with its document.
func (in intake) keepLot(ctx context.Context, k known, p *plan) error {
	if !p.joins {
		if err := in.tx.AddLot(ctx, &p.lot); err != nil {
			return err
		}
	}
	if p.adopts {
		id, err := in.keepPaper(ctx, k, p.lot.ID, p.delivery.paper)
		if err != nil {
			return err
		}
		p.lot.CertificateID = &id
	}
	if p.joins || p.adopts {
		if err := in.tx.SetLotDates(ctx, p.lot); err != nil {
			return err
		}
	}
	return in.enterLot(ctx, p.lot)
}

// enterLot writes a lot to the ledger as it stands now.
func (in intake) enterLot(ctx context.Context, l models.Lot) error {
	return in.enter(ctx, "lot", lotSubject(l.ID), lotState{l.Lot, in.names.supplier.Code, l.FilledOn, l.AssayedOn, l.LabelExpiresOn, l.CertificateID})
}

// lotState is a lot as the ledger keeps it.
type lotState struct {
	Lot            string    `json:"lot"`
	Supplier       string    `json:"supplier"`
	FilledOn       unit.Date `json:"filled_on"`
	AssayedOn      unit.Date `json:"assayed_on"`
	LabelExpiresOn unit.Date `json:"label_expires_on"`
	Certificate    *int64    `json:"certificate_id"`
}

// paperState is a document as the ledger keeps it.
type paperState struct {
	ID        int64        `json:"certificate_id"`
	Kind      string       `json:"kind"`
	Number    string       `json:"number"`
	IssuedOn  unit.Date    `json:"issued_on"`
	ExpiresOn unit.Date    `json:"expires_on"`
	Values    []valueState `json:"values"`
	File      string       `json:"file,omitempty"` // its SHA-256
}

type valueState struct {
	Component   string      `json:"component"`
	Amount      unit.Amount `json:"amount_ppb"`
	Uncertainty unit.Amount `json:"uncertainty_ppb"`
	Typed       string      `json:"typed"`
}

// keepPaper keeps a document of a lot with its values, and gives its id.
func (in intake) keepPaper(ctx context.Context, k known, lotID int64, p *paper) (int64, error) {
	row := p.Certificate
	row.LotID = lotID
	var values []models.CertificateValue
	state := paperState{Kind: p.Kind, Number: p.Number, IssuedOn: p.IssuedOn, ExpiresOn: p.ExpiresOn, File: p.FileSHA256}
	for _, v := range k.nominal(p) {
		values = append(values, models.CertificateValue{ComponentID: v.ID, Amount: v.amount, Uncertainty: v.uncertainty, Typed: v.typed})
		state.Values = append(state.Values, valueState{v.Code, v.amount, v.uncertainty, v.typed})
	}
	if err := in.tx.AddCertificate(ctx, &row, values); err != nil {
		return 0, err
	}
	state.ID = row.ID
	return row.ID, in.enter(ctx, "certificate", lotSubject(lotID), state)
}

// keepReceipt keeps the line of goods in with everything as it was typed and all that the rules said.
func (in intake) keepReceipt(ctx context.Context, o ReceiveOrder, findings []problem.Finding, row *models.Receipt) error {
	typed, err := json.Marshal(o)
	if err != nil {
		return err
	}
	said, err := json.Marshal(append([]problem.Finding{}, findings...))
	if err != nil {
		return err
	}
	row.SupplierID, row.ItemID, row.PlaceID = in.names.supplier.ID, in.names.item.ID, in.names.place.ID
	row.Typed, row.Findings, row.SettingsVersion = string(typed), string(said), in.settings.Version
	row.ReceivedAt, row.ByName = in.at, in.act.By.Name
	return in.tx.AddReceipt(ctx, row)
}

// rows makes the rows of the cylinders, each with a tag and with the document that is its own.
func (in intake) rows(ctx context.Context, k known, p plan, receiptID int64) ([]models.Cylinder, error) {
	kept := map[*paper]*int64{}
	lotHeld := len(p.holds) > 0 || slices.ContainsFunc(k.standing, func(h models.Hold) bool { return h.Receiving })
	var rows []models.Cylinder
	for _, c := range p.cylinders {
		row := c.row(in, p.lot.ID, receiptID)
		if row.Stage == Sealed && (lotHeld || len(c.holds) > 0) {
			row.Stage = Received
		}
		if c.paper != nil && kept[c.paper] == nil {
			id, err := in.keepPaper(ctx, k, p.lot.ID, c.paper)
			if err != nil {
				return nil, err
			}
			kept[c.paper] = &id
		}
		row.CertificateID = kept[c.paper]
		var err error
		if row.Tag, err = freeTag(ctx, in.tx, rows); err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	return rows, nil
}

func (a arrival) row(in intake, lotID, receiptID int64) models.Cylinder {
	place := in.names.place.ID
	row := models.Cylinder{
		ItemID: in.names.item.ID, LotID: lotID, ReceiptID: receiptID, Serial: a.serial, Stage: Sealed, PlaceID: &place,
		Pressure: a.pressure, Coldest: a.temperature, Gauge: a.gauge, PressureSource: a.source, ReceivedAt: in.at,
	}
	if a.opened {
		row.Stage, row.OpenedOn = Opened, a.openedOn
	}
	if a.source == Measured { // a fill is stated at 21 °C, however cold the cylinder is on the day
		row.MeasuredAt, row.Temperature = in.at, a.temperature
	}
	return row
}

var errNoTag = errors.New("stock: no free tag in many tries")

// freeTag makes a tag that was never given out.
func freeTag(ctx context.Context, tx *store.Store, beside []models.Cylinder) (unit.Tag, error) {
	for range 100 {
		var random [unit.TagBodyLength]byte
		_, _ = rand.Read(random[:]) // never fails
		tag := unit.MakeTag(random)
		taken, err := tx.TagTaken(ctx, tag)
		if err != nil {
			return "", err
		}
		if !taken && !slices.ContainsFunc(beside, func(c models.Cylinder) bool { return c.Tag == tag }) {
			return tag, nil
		}
	}
	return "", errNoTag
}

// keepHolds places what goods in holds: on the lot, and on single cylinders. The documents of single cylinders get their cylinder.
func (in intake) keepHolds(ctx context.Context, p plan, rows []models.Cylinder) error {
	for _, h := range p.holds {
		if err := in.keepHold(ctx, h, models.Hold{OnKind: onLot, OnID: p.lot.ID, OnName: p.lot.Lot}, lotSubject(p.lot.ID)); err != nil {
			return err
		}
	}
	for i, c := range p.cylinders {
		row := rows[i]
		if c.paper != nil && c.paper != p.delivery.paper {
			if err := in.tx.AssignCertificate(ctx, *row.CertificateID, row.ID); err != nil {
				return err
			}
		}
		for _, h := range c.holds {
			if err := in.keepHold(ctx, h, models.Hold{OnKind: onCylinder, OnID: row.ID, OnName: string(row.Tag)}, store.Subject(row.Tag)); err != nil {
				return err
			}
		}
	}
	return nil
}

func (in intake) keepHold(ctx context.Context, planned plannedHold, h models.Hold, subject string) error {
	h.Reason, h.Text, h.Receiving = planned.reason, planned.text, true
	_, err := in.putHold(ctx, in.tx, in.act, h, subject)
	return err
}

// enter writes a ledger entry about something that has a state but no quantity.
func (in intake) enter(ctx context.Context, kind, subject string, state any) error {
	after, err := json.Marshal(state)
	if err != nil {
		return err
	}
	e := in.moment.entry(in.act, kind, "")
	e.Subject, e.After = subject, string(after)
	return in.tx.Append(ctx, e)
}

package store

import (
	"context"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// cylinderState is a cylinder as the ledger keeps it before and after each change, and as verify compares it with its row. Its fields
// stand in the order of their names, as canonicalOf wants them.
type cylinderState struct {
	Certificate *int64           `json:"certificate_id"`
	Checkout    *int64           `json:"checkout_id"`
	Coldest     unit.Temperature `json:"coldest_mk"`
	Gauge       string           `json:"gauge"`
	HeldSince   unit.Instant     `json:"held_since"`
	Holder      *int64           `json:"holder_id"`
	Item        int64            `json:"item_id"`
	Lot         int64            `json:"lot_id"`
	MeasuredAt  unit.Instant     `json:"measured_at"`
	OpenedOn    unit.Date        `json:"opened_on"`
	Place       *int64           `json:"place_id"`
	Pressure    unit.Pressure    `json:"pressure_pa"`
	Source      string           `json:"pressure_source"`
	Receipt     int64            `json:"receipt_id"`
	ReceivedAt  unit.Instant     `json:"received_at"`
	Serial      string           `json:"serial"`
	Stage       string           `json:"stage"`
	Tag         unit.Tag         `json:"tag"`
	Temperature unit.Temperature `json:"temperature_mk"`
	Version     int64            `json:"version"`
}

func stateOf(c models.Cylinder) (string, error) {
	return canonicalOf(cylinderState{
		Tag: c.Tag, Item: c.ItemID, Lot: c.LotID, Receipt: c.ReceiptID, Certificate: c.CertificateID, Serial: c.Serial,
		Stage: c.Stage, Place: c.PlaceID, Holder: c.HolderID, HeldSince: c.HeldSince, Checkout: c.CheckoutID,
		Pressure: c.Pressure, Temperature: c.Temperature, Coldest: c.Coldest, Gauge: c.Gauge, Source: c.PressureSource,
		MeasuredAt: c.MeasuredAt, ReceivedAt: c.ReceivedAt, OpenedOn: c.OpenedOn, Version: c.Version,
	})
}

// Subject is the name of a cylinder in the ledger.
func Subject(tag unit.Tag) string { return "cylinder:" + string(tag) }

// AddCylinders keeps new cylinders at version 1, each with the ledger entry that brought it: one cylinder more at the entry's place.
func (s *Store) AddCylinders(ctx context.Context, cylinders []models.Cylinder, e models.Entry) ([]models.Cylinder, error) {
	var entries []models.Entry
	for i := range cylinders {
		cylinders[i].Version = 1
	}
	if err := s.db(ctx).CreateInBatches(&cylinders, 40).Error; err != nil {
		return nil, err
	}
	for _, c := range cylinders {
		after, err := stateOf(c)
		if err != nil {
			return nil, err
		}
		e.Subject, e.Quantity, e.Unit, e.Before, e.After = Subject(c.Tag), 1, "cylinder", "", after
		entries = append(entries, e)
	}
	return cylinders, s.chain(ctx, entries)
}

// Position is where a cylinder is in the ledger's words: a place's code, "person:NAME", or "" for nowhere of ours.
type Position string

// Change is one change of a cylinder: its row before, its row as it shall be, and where it was and is.
type Change struct {
	Before, After models.Cylinder
	From, To      Position
}

// PutCylinder changes one cylinder, provided that nobody has changed it since it was read, and writes the ledger: extra
// entries first (gas used, say), then the move where there is one, the last of them carrying the state after. It is the
// only way to change a cylinder.
func (s *Store) PutCylinder(ctx context.Context, ch Change, e models.Entry, extra ...models.Entry) (models.Cylinder, error) {
	c := ch.After
	c.Version = ch.Before.Version + 1
	if err := s.updateCylinder(ctx, c, ch.Before.Version); err != nil {
		return c, err
	}
	before, err := stateOf(ch.Before)
	if err != nil {
		return c, err
	}
	after, err := stateOf(c)
	if err != nil {
		return c, err
	}
	e.Subject = Subject(c.Tag)
	for i := range extra {
		extra[i].Subject, extra[i].Before, extra[i].After = e.Subject, "", "" // the last entry has the states
	}
	return c, s.chain(ctx, append(extra, moves(ch, e, before, after)...))
}

func (s *Store) updateCylinder(ctx context.Context, c models.Cylinder, version int64) error {
	res := s.db(ctx).Exec(`UPDATE cylinders SET certificate_id = ?, serial = ?, stage = ?, place_id = ?, holder_id = ?, held_since = ?,
		checkout_id = ?, pressure_pa = ?, temperature_mk = ?, coldest_mk = ?, gauge = ?, pressure_source = ?, measured_at = ?,
		opened_on = ?, version = ? WHERE id = ? AND version = ?`,
		c.CertificateID, c.Serial, c.Stage, c.PlaceID, c.HolderID, c.HeldSince, c.CheckoutID, c.Pressure, c.Temperature, c.Coldest,
		c.Gauge, c.PressureSource, c.MeasuredAt, c.OpenedOn, c.Version, c.ID, version)
	if res.Error == nil && res.RowsAffected != 1 {
		return problem.New(problem.Conflict, "cylinder "+string(c.Tag)+" was changed by somebody else just now", "look at it again and repeat the step")
	}
	return res.Error
}

// moves gives the entries of a change: one of no quantity where the cylinder stays, else one out and one in.
func moves(ch Change, e models.Entry, before, after string) []models.Entry {
	e.Unit, e.Before = "cylinder", before
	if ch.From == ch.To {
		e.Quantity, e.Place, e.After = 0, string(ch.To), after
		return []models.Entry{e}
	}
	var entries []models.Entry
	if ch.From != "" {
		out := e
		out.Quantity, out.Place = -1, string(ch.From)
		entries = append(entries, out)
	}
	if ch.To != "" {
		in := e
		in.Quantity, in.Place = 1, string(ch.To)
		entries = append(entries, in)
	}
	entries[len(entries)-1].After = after
	return entries
}

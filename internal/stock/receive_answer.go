package stock

import (
	"context"
	"encoding/json"
	"fmt"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// ReceiptAnswer is what came in, and how its cylinders stand now. Lot is null for what has no lot.
type ReceiptAnswer struct {
	Receipt      int64             `json:"receipt"`
	ReceivedAt   string            `json:"received_at"`
	By           string            `json:"by"`
	Supplier     string            `json:"supplier"`
	SupplierName string            `json:"supplier_name"`
	Item         string            `json:"item"`
	ItemName     string            `json:"item_name"`
	Place        string            `json:"place"`
	Order        string            `json:"order"`
	Counted      int64             `json:"counted"`    // 0 for what is measured
	QuantityM    float64           `json:"quantity_m"` // 0 for what is counted
	Lot          *ReceiptLot       `json:"lot"`
	Size         string            `json:"size"` // "1 L, 69 bar, CGA C-10"
	Cylinders    []ReceiptCylinder `json:"cylinders"`
	Fleet        *FleetAnswer      `json:"fleet"` // null for what is not gas
	Findings     []problem.Finding `json:"findings"`
}

// ReceiptLot is the lot with its dates and with what its labels must read.
type ReceiptLot struct {
	ID             int64     `json:"id"`
	Lot            string    `json:"lot"`
	Supplier       string    `json:"supplier"`
	Blend          string    `json:"blend"`
	FilledOn       unit.Date `json:"filled_on"`
	AssayedOn      unit.Date `json:"assayed_on"`
	LabelExpiresOn unit.Date `json:"label_expires_on"`
	UseBy          unit.Date `json:"use_by"`
	UseByDate
	CalibrationAllowed bool           `json:"calibration_allowed"` // by its dates and the holds on it
	Certificate        string         `json:"certificate"`         // its number, or its kind where it has none; "" for no document
	Components         []AmountAnswer `json:"components"`
	Holds              []HoldAnswer   `json:"holds"`
}

// ReceiptCylinder is one cylinder of a delivery with every hold that concerns it.
type ReceiptCylinder struct {
	Tag    unit.Tag `json:"tag"`
	Place  string   `json:"place"`
	Holder string   `json:"holder"`
	Serial string   `json:"serial"`
	Stage  string   `json:"stage"`
	LastReading
	OpenedOn unit.Date `json:"opened_on"`
	UseByDate
	CalibrationAllowed bool           `json:"calibration_allowed"`
	Components         []AmountAnswer `json:"components"`
	Holds              []HoldAnswer   `json:"holds"`
	Version            int64          `json:"version"`
}

// Receipt gives one line of goods in.
func (r Room) Receipt(ctx context.Context, id int64) (ReceiptAnswer, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return ReceiptAnswer{}, err
	}
	return receiptAnswer(ctx, r.Store, m, id)
}

func receiptAnswer(ctx context.Context, s *store.Store, m moment, id int64) (ReceiptAnswer, error) {
	line, err := s.ReceiptByID(ctx, id)
	if err != nil {
		return ReceiptAnswer{}, err
	}
	a := ReceiptAnswer{
		Receipt: line.ID, ReceivedAt: line.ReceivedAt.String(), By: line.ByName, Supplier: line.Supplier, SupplierName: line.SupplierName,
		Item: line.Item, ItemName: line.ItemName, Place: line.Place, Cylinders: []ReceiptCylinder{},
	}
	a.Counted, a.QuantityM = inItsUnit(line.Quantity, line.CountedIn)
	if err := a.kept(line); err != nil || line.LotID == nil {
		return a, err
	}
	rows, err := s.CylindersOfReceipt(ctx, id)
	if err != nil {
		return a, err
	}
	v, cylinders, err := look(ctx, s, m, rows)
	if err != nil {
		return a, err
	}
	v.fillReceipt(&a, cylinders, line.Blend)
	if len(cylinders) > 0 {
		a.Fleet, err = fleetOf(ctx, s, v, cylinders[0])
	}
	return a, err
}

// kept reads what was kept of the delivery as it was told then.
func (a *ReceiptAnswer) kept(line store.ReceiptLine) error {
	var typed ReceiveOrder
	if err := json.Unmarshal([]byte(line.Typed), &typed); err != nil {
		return fmt.Errorf("what was typed of receipt %d: %w", line.ID, err)
	}
	a.Order = typed.Order
	if err := json.Unmarshal([]byte(line.Receipt.Findings), &a.Findings); err != nil {
		return fmt.Errorf("findings of receipt %d: %w", line.ID, err)
	}
	return nil
}

func (v *view) fillReceipt(a *ReceiptAnswer, cylinders []cylinder, blend string) {
	for _, c := range cylinders {
		if a.Lot == nil {
			a.Lot, a.Size = v.receiptLot(c, blend), sizeOf(c)
		}
		u := v.useBy(c, "")
		a.Cylinders = append(a.Cylinders, ReceiptCylinder{
			Tag: c.Tag, Place: c.place, Holder: c.holder, Serial: c.Serial, Stage: c.Stage, LastReading: c.lastReading(), OpenedOn: c.OpenedOn,
			UseByDate: useByDate(u, v.today), CalibrationAllowed: u.CalibrationAllowed && len(c.holds) == 0, Components: c.amounts(), Holds: holdAnswers(c.holds), Version: c.Version,
		})
	}
}

// receiptLot tells of the lot itself, whatever is special about the cylinder by which it was reached.
func (v *view) receiptLot(of cylinder, blend string) *ReceiptLot {
	c := cylinder{item: of.item, lot: of.lot, paper: of.lot.certificate}
	u := v.useBy(c, "")
	return &ReceiptLot{
		ID: c.lot.ID, Lot: c.lot.Lot.Lot, Supplier: c.lot.supplier.Code, Blend: blend,
		FilledOn: c.lot.FilledOn, AssayedOn: c.lot.AssayedOn, LabelExpiresOn: c.lot.LabelExpiresOn,
		UseBy: u.ExpiresOn, UseByDate: useByDate(u, v.today),
		CalibrationAllowed: u.CalibrationAllowed && len(v.holds[holdKey{"lot", c.lot.ID}]) == 0,
		Certificate:        paperName(c.paper), Components: c.amounts(), Holds: holdAnswers(v.holds[holdKey{"lot", c.lot.ID}]),
	}
}

func paperName(c *certificate) string {
	switch {
	case c == nil:
		return ""
	case c.Number == "":
		return c.Kind
	}
	return c.Number
}

func sizeOf(c cylinder) string {
	return fmt.Sprintf("%.4g L, %.4g bar, %s", c.item.WaterVolume.Litres(), c.item.FillPressure.Bar(), c.item.Outlet)
}

// inItsUnit gives a quantity as a count, or in metres.
func inItsUnit(quantity int64, countedIn string) (counted int64, metres float64) {
	if countedIn == catalogue.InMetres {
		return 0, unit.Length(quantity).Metres()
	}
	return quantity, 0
}

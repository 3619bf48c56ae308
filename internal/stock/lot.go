package stock

import (
	"context"

	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// LotAnswer is a lot with every document that came for it.
type LotAnswer struct {
	ReceiptLot
	SupplierName string        `json:"supplier_name"`
	ReceivedAt   string        `json:"received_at"`
	Cylinders    int           `json:"cylinders"`    // how many came
	Certificates []PaperAnswer `json:"certificates"` // the newest first
	Version      int64         `json:"version"`
}

// PaperAnswer is one document as it was entered.
type PaperAnswer struct {
	ID                int64        `json:"id"`
	Kind              string       `json:"kind"` // analysis, conformity
	Number            string       `json:"number"`
	IssuedOn          unit.Date    `json:"issued_on"`
	ExpiresOn         unit.Date    `json:"expires_on"`
	MinUsePressureBar float64      `json:"min_use_pressure_bar"` // 0 where it names none
	Values            []PaperValue `json:"values"`
	File              *FileAnswer  `json:"file"` // null where it was typed in alone
	RecordedAt        string       `json:"recorded_at"`
	Current           bool         `json:"current"`  // it holds for the lot now
	Cylinder          unit.Tag     `json:"cylinder"` // "" for the whole lot
}

// PaperValue is one certified amount as it was typed, and in ppm.
type PaperValue struct {
	Component      string  `json:"component"`
	Typed          string  `json:"typed"`
	AmountPPM      float64 `json:"amount_ppm"`
	UncertaintyPPM float64 `json:"uncertainty_ppm"`
}

// Lot tells everything about one lot.
func (r Room) Lot(ctx context.Context, id int64) (LotAnswer, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return LotAnswer{}, err
	}
	l, err := loadLot(ctx, r.Store, m, id)
	if err != nil {
		return LotAnswer{}, err
	}
	return l.answer(ctx, r.Store)
}

// LotComponents are the components of a lot's blend as the form of a certificate asks for them.
func (r Room) LotComponents(ctx context.Context, id int64) ([]ReceiveComponent, error) {
	l, err := r.Store.LotByID(ctx, id)
	if err != nil {
		return nil, err
	}
	parts, err := r.Store.BlendComponents(ctx, l.BlendID)
	return formComponents(parts), err
}

// wholeLot is a lot with all of its cylinders.
type wholeLot struct {
	*view
	row       models.Lot
	cylinders []cylinder
}

func loadLot(ctx context.Context, s *store.Store, m moment, id int64) (wholeLot, error) {
	row, err := s.LotByID(ctx, id)
	if err != nil {
		return wholeLot{}, err
	}
	rows, err := s.Cylinders(ctx, store.CylinderFilter{LotID: id})
	if err != nil {
		return wholeLot{}, err
	}
	v, list, err := look(ctx, s, m, rows)
	return wholeLot{v, row, list}, err
}

func (l wholeLot) answer(ctx context.Context, s *store.Store) (LotAnswer, error) {
	blend, err := s.BlendByID(ctx, l.row.BlendID)
	if err != nil {
		return LotAnswer{}, err
	}
	first := l.cylinders[0] // no lot is there without a delivery of it
	a := LotAnswer{
		ReceiptLot: *l.receiptLot(first, blend.Code), SupplierName: first.lot.supplier.Name, ReceivedAt: l.row.ReceivedAt.String(),
		Cylinders: len(l.cylinders), Version: l.row.Version,
	}
	a.Certificates, err = l.papers(ctx, s)
	return a, err
}

// papers lists the documents of the lot, the newest first.
func (l wholeLot) papers(ctx context.Context, s *store.Store) ([]PaperAnswer, error) {
	rows, err := s.CertificatesOfLot(ctx, l.row.ID)
	if err != nil {
		return nil, err
	}
	ids, sums := make([]int64, len(rows)), make([]string, 0, len(rows))
	for i, row := range rows {
		ids[i] = row.ID
		if row.FileSHA256 != "" {
			sums = append(sums, row.FileSHA256)
		}
	}
	values, err := s.ValuesOf(ctx, ids)
	if err != nil {
		return nil, err
	}
	files, err := s.FilesNoted(ctx, sums)
	papers := make([]PaperAnswer, len(rows))
	for i, row := range rows {
		papers[i] = l.paperAnswer(row, values[row.ID], files)
	}
	return papers, err
}

func (l wholeLot) paperAnswer(row models.Certificate, values []store.CertifiedValue, files map[string]store.FileNote) PaperAnswer {
	p := PaperAnswer{
		ID: row.ID, Kind: row.Kind, Number: row.Number, IssuedOn: row.IssuedOn, ExpiresOn: row.ExpiresOn, MinUsePressureBar: row.MinUsePressure.Bar(),
		Values: []PaperValue{}, RecordedAt: row.RecordedAt.String(), Current: l.row.CertificateID != nil && *l.row.CertificateID == row.ID,
	}
	for _, v := range values {
		p.Values = append(p.Values, PaperValue{v.Component, v.Typed, v.Amount.PPM(), v.Uncertainty.PPM()})
	}
	if f, known := files[row.FileSHA256]; known {
		p.File = &FileAnswer{f.SHA256, f.Kind, f.Name, f.Size}
	}
	for _, c := range l.cylinders {
		if row.CylinderID != nil && c.ID == *row.CylinderID {
			p.Cylinder = c.Tag
		}
	}
	return p
}

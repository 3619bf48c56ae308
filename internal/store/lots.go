package store

import (
	"context"
	"fmt"

	"spanroom/models"
)

// LotByID gives one lot.
func (s *Store) LotByID(ctx context.Context, id int64) (models.Lot, error) {
	var lot models.Lot
	err := found(s.db(ctx).Where("id = ?", id).Take(&lot).Error, "lot", fmt.Sprint(id))
	return lot, err
}

// LotsByID gives several lots at once.
func (s *Store) LotsByID(ctx context.Context, ids []int64) (map[int64]models.Lot, error) {
	return byID(ctx, s, ids, func(l models.Lot) int64 { return l.ID })
}

// LotsOfSupplier lists the lots of a supplier, for telling a new lot text from those that are known.
func (s *Store) LotsOfSupplier(ctx context.Context, supplierID int64) ([]models.Lot, error) {
	var rows []models.Lot
	err := s.db(ctx).Where("supplier_id = ?", supplierID).Order("id").Find(&rows).Error
	return rows, err
}

// AddLot keeps a new lot.
func (s *Store) AddLot(ctx context.Context, lot *models.Lot) error {
	lot.Version = 1
	return s.db(ctx).Create(lot).Error
}

// SetLotDates fills in what a second delivery or a certificate says of a lot: its dates and its certificate.
func (s *Store) SetLotDates(ctx context.Context, lot models.Lot) error {
	return s.db(ctx).Exec(`UPDATE lots SET filled_on = ?, assayed_on = ?, label_expires_on = ?, certificate_id = ?, version = version + 1 WHERE id = ?`,
		lot.FilledOn, lot.AssayedOn, lot.LabelExpiresOn, lot.CertificateID, lot.ID).Error
}

// AddCertificate keeps a document with its values.
func (s *Store) AddCertificate(ctx context.Context, c *models.Certificate, values []models.CertificateValue) error {
	if err := s.db(ctx).Create(c).Error; err != nil || len(values) == 0 {
		return err
	}
	for i := range values {
		values[i].CertificateID, values[i].Position = c.ID, int64(i)
	}
	return s.db(ctx).Create(&values).Error
}

// CertificatesByID gives several documents at once.
func (s *Store) CertificatesByID(ctx context.Context, ids []int64) (map[int64]models.Certificate, error) {
	return byID(ctx, s, ids, func(c models.Certificate) int64 { return c.ID })
}

// CertifiedValue is one value of a certificate with its component's code.
type CertifiedValue struct {
	models.CertificateValue
	Component string
}

// ValuesOf gives the values of several certificates, each in its order.
func (s *Store) ValuesOf(ctx context.Context, certificateIDs []int64) (map[int64][]CertifiedValue, error) {
	out := map[int64][]CertifiedValue{}
	if len(certificateIDs) == 0 {
		return out, nil
	}
	var rows []CertifiedValue
	err := s.db(ctx).Raw(`SELECT v.*, c.code AS component FROM certificate_values v JOIN components c ON c.id = v.component_id
		WHERE v.certificate_id IN ? ORDER BY v.certificate_id, v.position`, certificateIDs).Scan(&rows).Error
	for _, row := range rows {
		out[row.CertificateID] = append(out[row.CertificateID], row)
	}
	return out, err
}

// byID gives the rows of several ids at once.
func byID[T any](ctx context.Context, s *Store, ids []int64, id func(T) int64) (map[int64]T, error) {
	out := make(map[int64]T, len(ids))
	if len(ids) == 0 {
		return out, nil
	}
	var rows []T
	if err := s.db(ctx).Where("id IN ?", ids).Find(&rows).Error; err != nil {
		return nil, err
	}
	for _, row := range rows {
		out[id(row)] = row
	}
	return out, nil
}

package store

import (
	"cmp"
	"context"
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// AddCheckout keeps a new check-out and fills in its id.
func (s *Store) AddCheckout(ctx context.Context, c *models.Checkout) error {
	c.Version = 1
	c.Instruments = cmp.Or(c.Instruments, "[]")
	return s.db(ctx).Create(c).Error
}

// CloseCheckout keeps how a check-out ended, provided that it is still open.
func (s *Store) CloseCheckout(ctx context.Context, c models.Checkout) error {
	res := s.db(ctx).Exec(`UPDATE checkouts SET returned_at = ?, in_pressure_pa = ?, in_temperature_mk = ?, in_gauge = ?, measured_ml = ?,
		expected_ml = ?, threshold_ml = ?, verdict = ?, explained = ?, returned_to = ?, set_left_on = ?, version = version + 1 WHERE id = ? AND returned_at = 0`,
		c.ReturnedAt, c.InPressure, c.InTemperature, c.InGauge, c.Measured, c.Expected, c.Threshold, c.Verdict, c.Explained,
		c.ReturnedTo, c.SetLeftOn, c.ID)
	if res.Error == nil && res.RowsAffected != 1 {
		return problem.New(problem.Conflict, fmt.Sprintf("check-out %d was closed by somebody else just now", c.ID), "look at it again")
	}
	return res.Error
}

// CheckoutFilter narrows a list of check-outs; what is zero does not narrow.
type CheckoutFilter struct {
	Open        bool
	Holder      string
	UntilBefore unit.Date // their last planned day
	Before      int64     // the id of the last row of the part before
	Limit       int
}

// CheckoutRow is a check-out with the names that a list of them shows.
type CheckoutRow struct {
	models.Checkout
	Tag    unit.Tag `gorm:"column:tag"`
	Item   string   `gorm:"column:item"`
	Holder string   `gorm:"column:holder"`
	Place  string   `gorm:"column:place"`
}

const checkoutRows = `SELECT o.*, c.tag, i.code AS item, h.name AS holder, COALESCE(p.code, '') AS place
	FROM checkouts o JOIN cylinders c ON c.id = o.cylinder_id JOIN items i ON i.id = c.item_id JOIN people h ON h.id = o.holder_id
	LEFT JOIN places p ON p.id = o.place_id `

// Checkouts lists check-outs, newest first.
func (s *Store) Checkouts(ctx context.Context, f CheckoutFilter) ([]CheckoutRow, error) {
	var rows []CheckoutRow
	err := s.db(ctx).Raw(checkoutRows+`WHERE (? = 0 OR o.id < ?) AND (? = FALSE OR o.returned_at = 0) AND (? = '' OR h.name = ?) AND (? = '' OR o.until_on < ?)
		ORDER BY o.id DESC LIMIT ?`, f.Before, f.Before, f.Open, f.Holder, f.Holder, f.UntilBefore, f.UntilBefore, f.Limit).Scan(&rows).Error
	return rows, err
}

// CheckoutRowByID gives one check-out with its names.
func (s *Store) CheckoutRowByID(ctx context.Context, id int64) (CheckoutRow, error) {
	var rows []CheckoutRow
	err := s.db(ctx).Raw(checkoutRows+`WHERE o.id = ?`, id).Scan(&rows).Error
	if err == nil && len(rows) == 0 {
		return CheckoutRow{}, problem.NotFound("check-out", fmt.Sprint(id))
	}
	if err != nil {
		return CheckoutRow{}, err
	}
	return rows[0], nil
}

// ExcessBefore tells whether a cylinder lost more gas than was logged on an earlier outing.
func (s *Store) ExcessBefore(ctx context.Context, cylinderID int64) (bool, error) {
	return s.exists(ctx, "SELECT 1 FROM checkouts WHERE cylinder_id = ? AND verdict = 'excess'", cylinderID)
}

// LastExcess gives how a person's last return with more gas used than logged was explained, or "".
func (s *Store) LastExcess(ctx context.Context, holderID int64) (string, error) {
	var explained []string
	err := s.db(ctx).Raw(`SELECT explained FROM checkouts WHERE holder_id = ? AND verdict = 'excess' ORDER BY returned_at DESC, id DESC LIMIT 1`, holderID).Scan(&explained).Error
	if err != nil || len(explained) == 0 {
		return "", err
	}
	return explained[0], nil
}

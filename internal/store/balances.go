package store

import (
	"context"

	"spanroom/internal/problem"
	"spanroom/models"
)

// Balance gives how much of a consumable stands at a place.
func (s *Store) Balance(ctx context.Context, itemID, placeID int64) (int64, error) {
	var quantity []int64
	err := s.db(ctx).Raw("SELECT quantity FROM balances WHERE item_id = ? AND place_id = ?", itemID, placeID).Scan(&quantity).Error
	if err != nil || len(quantity) == 0 {
		return 0, err
	}
	return quantity[0], nil
}

// Balances lists all that stands anywhere of one item, or of every item for 0.
func (s *Store) Balances(ctx context.Context, itemID int64) ([]models.Balance, error) {
	var rows []models.Balance
	q := s.db(ctx).Order("item_id, place_id")
	if itemID != 0 {
		q = q.Where("item_id = ?", itemID)
	}
	err := q.Find(&rows).Error
	return rows, err
}

// AddBalance changes a balance by the entry's quantity and writes the entry; it is the only way to change a balance.
// The database refuses to go below zero.
func (s *Store) AddBalance(ctx context.Context, itemID, placeID int64, e models.Entry) error {
	res := s.db(ctx).Exec("UPDATE balances SET quantity = quantity + ? WHERE item_id = ? AND place_id = ?", e.Quantity, itemID, placeID)
	if res.Error != nil {
		return res.Error
	}
	if res.RowsAffected == 0 {
		if e.Quantity < 0 {
			return problem.New(problem.Conflict, "there is nothing of it at that place", "count what is there and book it first")
		}
		if err := s.db(ctx).Create(&models.Balance{ItemID: itemID, PlaceID: placeID, Quantity: e.Quantity}).Error; err != nil {
			return err
		}
	}
	return s.Append(ctx, e)
}

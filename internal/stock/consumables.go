package stock

import (
	"cmp"
	"context"
	"slices"

	"spanroom/internal/catalogue"
	"spanroom/models"
)

// Consumables is a page of what stands where besides gas.
type Consumables struct {
	Rows []ConsumableRow `json:"rows"`
	Next string          `json:"next"`
}

// ConsumableRow is how much of one item stands at one place: pieces, or metres.
type ConsumableRow struct {
	Item     string  `json:"item"`
	Name     string  `json:"name"`
	Kind     string  `json:"kind"`
	Place    string  `json:"place"` // "" where the item stands nowhere
	Quantity float64 `json:"quantity"`
	Unit     string  `json:"unit"`
}

func (r ConsumableRow) key() string { return r.Item + " " + r.Place }

// Consumables lists what there is besides gas, by item and place, after a row's item and place. What stands nowhere is
// listed too, so that it is not forgotten.
func (r Room) Consumables(ctx context.Context, after string, limit int) (Consumables, error) {
	items, err := r.Store.Items(ctx, "")
	if err != nil {
		return Consumables{}, err
	}
	balances, err := r.Store.Balances(ctx, 0)
	if err != nil {
		return Consumables{}, err
	}
	places, err := r.Store.PlaceCodes(ctx)
	if err != nil {
		return Consumables{}, err
	}
	stands := map[int64][]models.Balance{}
	for _, b := range balances {
		stands[b.ItemID] = append(stands[b.ItemID], b)
	}
	page := Consumables{Rows: []ConsumableRow{}}
	for _, item := range items {
		if item.Kind != catalogue.Gas {
			page.Rows = append(page.Rows, consumableRows(item, stands[item.ID], places)...)
		}
	}
	slices.SortFunc(page.Rows, func(a, b ConsumableRow) int { return cmp.Compare(a.key(), b.key()) })
	page.Rows = slices.DeleteFunc(page.Rows, func(row ConsumableRow) bool { return row.key() <= after })
	if limit = pageLength(limit); len(page.Rows) > limit {
		page.Rows = page.Rows[:limit]
		page.Next = page.Rows[limit-1].key()
	}
	return page, nil
}

func consumableRows(item models.Item, balances []models.Balance, places map[int64]string) []ConsumableRow {
	row := ConsumableRow{Item: item.Code, Name: item.Name, Kind: item.Kind, Unit: item.CountedIn}
	var rows []ConsumableRow
	for _, b := range balances {
		if b.Quantity > 0 {
			row.Place, row.Quantity = places[b.PlaceID], inUnit(item, b.Quantity)
			rows = append(rows, row)
		}
	}
	if len(rows) == 0 {
		rows = append(rows, row)
	}
	return rows
}

// pageLength bounds what a caller asks for; 0 is the usual length.
func pageLength(limit int) int {
	if limit <= 0 {
		return usualRows
	}
	return min(limit, mostRows)
}

// GasItems lists the items that are taken by the cylinder, for the forms that offer them.
func (r Room) GasItems(ctx context.Context) ([]catalogue.Choice, error) {
	return r.itemChoices(ctx, func(i models.Item) bool { return i.Kind == catalogue.Gas })
}

// IssueItems lists the items that are handed out.
func (r Room) IssueItems(ctx context.Context) ([]catalogue.Choice, error) {
	return r.itemChoices(ctx, func(i models.Item) bool { return i.Kind != catalogue.Gas })
}

func (r Room) itemChoices(ctx context.Context, fits func(models.Item) bool) ([]catalogue.Choice, error) {
	items, err := r.Store.Items(ctx, "")
	choices := []catalogue.Choice{}
	for _, item := range only(items, fits) {
		choices = append(choices, catalogue.Choice{Code: item.Code, Name: item.Name})
	}
	return choices, err
}

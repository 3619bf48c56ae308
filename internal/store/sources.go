package store

import (
	"context"

	"gorm.io/gorm/clause"

	"spanroom/models"
)

// SourceOf is a source of an item with its supplier.
type SourceOf struct {
	models.Source
	Supplier     string `gorm:"column:supplier"`
	SupplierName string `gorm:"column:supplier_name"`
	LeadDays     int64  `gorm:"column:lead_days"`
	LeadSDDays   int64  `gorm:"column:lead_sd_days"`
}

const sourcesQuery = `SELECT so.*, su.code AS supplier, su.name AS supplier_name, su.lead_days, su.lead_sd_days
	FROM sources so JOIN suppliers su ON su.id = so.supplier_id`

// SourcesOf lists the sources of an item in the order of preference.
func (s *Store) SourcesOf(ctx context.Context, itemID int64) ([]SourceOf, error) {
	var rows []SourceOf
	err := s.db(ctx).Raw(sourcesQuery+` WHERE so.item_id = ? ORDER BY so.position`, itemID).Scan(&rows).Error
	return rows, err
}

// AllSources gives the sources of every item, by item id, each in the order of preference.
func (s *Store) AllSources(ctx context.Context) (map[int64][]SourceOf, error) {
	var rows []SourceOf
	if err := s.db(ctx).Raw(sourcesQuery + ` ORDER BY so.item_id, so.position`).Scan(&rows).Error; err != nil {
		return nil, err
	}
	sources := make(map[int64][]SourceOf)
	for _, r := range rows {
		sources[r.ItemID] = append(sources[r.ItemID], r)
	}
	return sources, nil
}

// PutSources makes these the sources of an item; a supplier that stays keeps its row.
func (s *Store) PutSources(ctx context.Context, itemID int64, rows []models.Source) error {
	stay := []int64{0}
	for i := range rows {
		rows[i].ItemID, rows[i].Position = itemID, int64(i)
		stay = append(stay, rows[i].SupplierID)
	}
	if err := s.db(ctx).Where("item_id = ? AND supplier_id NOT IN ?", itemID, stay).Delete(&models.Source{}).Error; err != nil {
		return translate(err)
	}
	if len(rows) == 0 {
		return nil
	}
	return translate(s.db(ctx).Clauses(clause.OnConflict{
		Columns:   []clause.Column{{Name: "item_id"}, {Name: "supplier_id"}},
		DoUpdates: clause.AssignmentColumns([]string{"position", "article", "gtin", "pack", "moq", "price_minor", "currency", "minimum_life_days"}),
	}).Create(&rows).Error)
}

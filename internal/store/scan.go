package store

import (
	"context"
	"fmt"
	"strings"

	"spanroom/internal/unit"
)

// Coded is a thing of the catalogue with the sort of thing that it is.
type Coded struct {
	Noun string `gorm:"column:noun"`
	Code string `gorm:"column:code"`
	Name string `gorm:"column:name"`
}

// CodesAlike lists the things of these nouns whose code is a text in whatever case, in the order of the nouns.
func (s *Store) CodesAlike(ctx context.Context, nouns []string, text string) ([]Coded, error) {
	var parts []string
	var values []any
	for i, noun := range nouns {
		table, err := tableOf(noun)
		if err != nil {
			return nil, err
		}
		parts = append(parts, fmt.Sprintf("SELECT %d AS nth, '%s' AS noun, code, name FROM %s WHERE upper(code) = ?", i, noun, table))
		values = append(values, strings.ToUpper(text))
	}
	var rows []Coded
	err := s.db(ctx).Raw(strings.Join(parts, " UNION ALL ")+" ORDER BY nth, code", values...).Scan(&rows).Error
	return rows, err
}

// LotOf is a lot with its supplier, as a label names both.
type LotOf struct {
	Lot          string `gorm:"column:lot"`
	SupplierID   int64  `gorm:"column:supplier_id"`
	SupplierName string `gorm:"column:supplier_name"`
}

// LotsOfKey lists the lots of a key, which every supplier may have one of.
func (s *Store) LotsOfKey(ctx context.Context, key string) ([]LotOf, error) {
	var rows []LotOf
	err := s.db(ctx).Raw(`SELECT l.lot, l.supplier_id, s.name AS supplier_name FROM lots l JOIN suppliers s ON s.id = l.supplier_id
		WHERE l.lot_key = ? ORDER BY l.id`, key).Scan(&rows).Error
	return rows, err
}

// SerialOf is a cylinder that carries a serial of its supplier, with the key of its lot.
type SerialOf struct {
	Tag        unit.Tag `gorm:"column:tag"`
	LotKey     string   `gorm:"column:lot_key"`
	SupplierID int64    `gorm:"column:supplier_id"`
}

// CylindersOfSerial lists every fill that a serial was seen on, of whatever supplier, oldest first.
func (s *Store) CylindersOfSerial(ctx context.Context, serial string) ([]SerialOf, error) {
	var rows []SerialOf
	err := s.db(ctx).Raw(`SELECT c.tag, l.lot_key, l.supplier_id FROM cylinders c JOIN lots l ON l.id = c.lot_id
		WHERE c.serial = ? ORDER BY c.id`, serial).Scan(&rows).Error
	return rows, err
}

// ArticleOf is a supplier's article with the item that it is.
type ArticleOf struct {
	Item       string `gorm:"column:item"`
	SupplierID int64  `gorm:"column:supplier_id"`
	Supplier   string `gorm:"column:supplier"`
}

// ArticlesOfGTIN lists the articles that carry a GTIN of 14 digits: the same one may come from several suppliers.
func (s *Store) ArticlesOfGTIN(ctx context.Context, gtin string) ([]ArticleOf, error) {
	var rows []ArticleOf
	err := s.db(ctx).Raw(`SELECT i.code AS item, so.supplier_id, su.code AS supplier FROM sources so
		JOIN items i ON i.id = so.item_id JOIN suppliers su ON su.id = so.supplier_id WHERE so.gtin = ? ORDER BY i.code, su.code`, gtin).Scan(&rows).Error
	return rows, err
}

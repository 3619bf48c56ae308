package store

import (
	"context"
	"database/sql"
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// Piece is one regulator, tubing or cap: its catalogue entry, and the last check-out that it went along with.
type Piece struct {
	ID         int64        `gorm:"column:id"`
	Code       string       `gorm:"column:code"`
	Doc        string       `gorm:"column:doc"`
	RecordedAt unit.Instant `gorm:"column:recorded_at"` // of the entry as it is now
	ServicedAt unit.Instant `gorm:"column:serviced_at"` // 0 where nobody ever stated that: every check-out then counts
	Uses       int64        `gorm:"column:uses"`        // check-outs since then

	CheckoutID int64        `gorm:"column:checkout_id"` // 0 where it never went along
	Tag        unit.Tag     `gorm:"column:tag"`
	BlendID    int64        `gorm:"column:blend_id"`
	Holder     string       `gorm:"column:holder"`
	TakenAt    unit.Instant `gorm:"column:taken_at"`
	ReturnedAt unit.Instant `gorm:"column:returned_at"` // 0 while it is out
	ReturnedTo string       `gorm:"column:returned_to"`
	SetLeftOn  bool         `gorm:"column:set_left_on"` // it stayed on the cylinder

	// Where that cylinder is now, for a piece that stayed on it.
	CylinderPlace     string       `gorm:"column:cylinder_place"`
	CylinderHolder    string       `gorm:"column:cylinder_holder"`
	CylinderHeldSince unit.Instant `gorm:"column:cylinder_held_since"`
}

// pieceQueries read the pieces of a kind; each asks the index of its column for the last check-out of each piece.
var pieceQueries = map[string]string{"regulator": pieceQuery("regulator"), "tubing": pieceQuery("tubing"), "cap": pieceQuery("cap")}

func pieceQuery(kind string) string {
	return fmt.Sprintf(`SELECT t.id, t.code, v.doc, v.recorded_at, t.serviced_at,
			(SELECT COUNT(*) FROM checkouts n WHERE n.%[1]s = t.code AND n.taken_at >= t.serviced_at) AS uses,
			COALESCE(o.id, 0) AS checkout_id, COALESCE(c.tag, '') AS tag, COALESCE(l.blend_id, 0) AS blend_id, COALESCE(h.name, '') AS holder,
			COALESCE(o.taken_at, 0) AS taken_at, COALESCE(o.returned_at, 0) AS returned_at, COALESCE(o.returned_to, '') AS returned_to,
			COALESCE(o.set_left_on, FALSE) AS set_left_on, COALESCE(p.code, '') AS cylinder_place, COALESCE(k.name, '') AS cylinder_holder,
			COALESCE(c.held_since, 0) AS cylinder_held_since
		FROM %[2]s t JOIN versions v ON v.noun = '%[1]s' AND v.code = t.code AND v.version = t.version
		LEFT JOIN checkouts o ON o.id = (SELECT x.id FROM checkouts x WHERE x.%[1]s = t.code ORDER BY x.taken_at DESC, x.id DESC LIMIT 1)
		LEFT JOIN cylinders c ON c.id = o.cylinder_id LEFT JOIN lots l ON l.id = c.lot_id LEFT JOIN people h ON h.id = o.holder_id
		LEFT JOIN places p ON p.id = c.place_id LEFT JOIN people k ON k.id = c.holder_id `, kind, nounTables[kind])
}

// Pieces lists every regulator, tubing or cap by its code.
func (s *Store) Pieces(ctx context.Context, kind string) ([]Piece, error) {
	var rows []Piece
	err := s.db(ctx).Raw(pieceQueries[kind] + "ORDER BY t.code").Scan(&rows).Error
	return rows, err
}

// PieceByCode gives one regulator, tubing or cap.
func (s *Store) PieceByCode(ctx context.Context, kind, code string) (Piece, error) {
	var rows []Piece
	err := s.db(ctx).Raw(pieceQueries[kind]+"WHERE t.code = ?", code).Scan(&rows).Error
	if err == nil && len(rows) == 0 {
		return Piece{}, problem.NotFound(kind, code)
	}
	if err != nil {
		return Piece{}, err
	}
	return rows[0], nil
}

// leftOn asks for the pieces of one kind whose last check-out left them on a cylinder, and whose entry was not changed since.
const leftOn = `SELECT t.code FROM checkouts o JOIN %[2]s t ON t.code = o.%[1]s
	JOIN versions v ON v.noun = '%[1]s' AND v.code = t.code AND v.version = t.version
	WHERE o.cylinder_id = @cylinder AND o.set_left_on AND o.returned_at >= v.recorded_at
		AND o.id = (SELECT x.id FROM checkouts x WHERE x.%[1]s = t.code ORDER BY x.taken_at DESC, x.id DESC LIMIT 1)`

// LeftOn names the regulator, tubing and cap that stayed on a cylinder, as far as they are there still.
func (s *Store) LeftOn(ctx context.Context, cylinder int64) ([]string, error) {
	pieces := []string{}
	for _, kind := range []string{"regulator", "tubing", "cap"} {
		var codes []string
		if err := s.db(ctx).Raw(fmt.Sprintf(leftOn, kind, nounTables[kind]), sql.Named("cylinder", cylinder)).Scan(&codes).Error; err != nil {
			return nil, err
		}
		pieces = append(pieces, codes...)
	}
	return pieces, nil
}

// Formulas gives the formula of each of these components by its code; one without is absent.
func (s *Store) Formulas(ctx context.Context, codes []string) (map[string]string, error) {
	formulas := map[string]string{}
	if len(codes) == 0 {
		return formulas, nil
	}
	var rows []models.Component
	err := s.db(ctx).Select("code, formula").Where("code IN ? AND formula <> ''", codes).Find(&rows).Error
	for _, c := range rows {
		formulas[c.Code] = c.Formula
	}
	return formulas, err
}

// PlaceKinds gives the kind of every place by its code.
func (s *Store) PlaceKinds(ctx context.Context) (map[string]string, error) {
	var rows []models.Place
	err := s.db(ctx).Select("code, kind").Find(&rows).Error
	kinds := make(map[string]string, len(rows))
	for _, p := range rows {
		kinds[p.Code] = p.Kind
	}
	return kinds, err
}

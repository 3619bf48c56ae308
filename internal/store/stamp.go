package store

import (
	"context"
	"database/sql"
	"errors"

	"spanroom/internal/unit"
)

// Stamp changes whenever something does that a decision on a cylinder rests on: the cylinder, its lot, anything in the
// catalogue, any hold, and the last check-out of each part of the regulator set that goes along.
type Stamp struct {
	Cylinder, Lot, Catalogue, Holds, LastHold int64
	Set                                       [3]int64
}

// SetCodes names a regulator, a tubing and a cap, "" for none.
type SetCodes struct{ Regulator, Tubing, Cap string }

// lastOf tells of the last check-out of a part by its id, and whether it has ended; 0 where there is none, and for "".
func lastOf(kind string) string {
	return `COALESCE((SELECT o.id * 2 + CASE WHEN o.returned_at = 0 THEN 0 ELSE 1 END FROM checkouts o WHERE o.` + kind + ` = NULLIF(?, '')
		ORDER BY o.taken_at DESC, o.id DESC LIMIT 1), 0)`
}

var stampQuery = `SELECT c.version, l.version, (SELECT COALESCE(MAX(id), 0) FROM versions),
		(SELECT COUNT(*) FROM holds WHERE released_at = 0), (SELECT COALESCE(MAX(id), 0) FROM holds),
		` + lastOf("regulator") + `, ` + lastOf("tubing") + `, ` + lastOf("cap") + `
	FROM cylinders c JOIN lots l ON l.id = c.lot_id WHERE c.tag = ?`

// StampOf gives the stamp of a cylinder with a regulator set; the zero Stamp where there is no such cylinder.
func (s *Store) StampOf(ctx context.Context, tag unit.Tag, set SetCodes) (Stamp, error) {
	var stamp Stamp
	err := s.db(ctx).Raw(stampQuery, set.Regulator, set.Tubing, set.Cap, tag).Row().
		Scan(&stamp.Cylinder, &stamp.Lot, &stamp.Catalogue, &stamp.Holds, &stamp.LastHold, &stamp.Set[0], &stamp.Set[1], &stamp.Set[2])
	if errors.Is(err, sql.ErrNoRows) {
		return Stamp{}, nil
	}
	return stamp, err
}

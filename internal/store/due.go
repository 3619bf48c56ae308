package store

import (
	"context"

	"spanroom/internal/unit"
	"spanroom/models"
)

// LastTest is the last test of an instrument by a procedure, and when it last passed one that counts.
type LastTest struct {
	Instrument  string       `gorm:"column:instrument"`
	ProcedureID int64        `gorm:"column:procedure_id"`
	HappenedAt  unit.Instant `gorm:"column:happened_at"`
	Result      string       `gorm:"column:result"`
	Valid       bool         `gorm:"column:valid"`
	PassedAt    unit.Instant `gorm:"column:passed_at"` // 0 where none counts
}

// lastTests steps through the index from one pair of instrument and procedure to the next: years of tests cost no more than
// the last of them.
const lastTests = `WITH RECURSIVE pairs (id) AS (
		SELECT id FROM (SELECT id FROM tests ORDER BY instrument, procedure_id LIMIT 1) start
		UNION ALL
		SELECT COALESCE(
			(SELECT n.id FROM tests n WHERE n.instrument = t.instrument AND n.procedure_id > t.procedure_id ORDER BY n.procedure_id LIMIT 1),
			(SELECT n.id FROM tests n WHERE n.instrument > t.instrument ORDER BY n.instrument, n.procedure_id LIMIT 1))
		FROM pairs JOIN tests t ON t.id = pairs.id
	)
	SELECT l.instrument, l.procedure_id, l.happened_at, l.result, l.valid, COALESCE((
			SELECT p.happened_at FROM tests p WHERE p.instrument = t.instrument AND p.procedure_id = t.procedure_id AND p.happened_at < ?
				AND p.valid = TRUE AND p.result = 'pass' ORDER BY p.happened_at DESC LIMIT 1), 0) AS passed_at
	FROM pairs JOIN tests t ON t.id = pairs.id JOIN tests l ON l.id = (
		SELECT x.id FROM tests x WHERE x.instrument = t.instrument AND x.procedure_id = t.procedure_id AND x.happened_at < ?
			ORDER BY x.happened_at DESC, x.id DESC LIMIT 1)`

// LastTests gives the last test before a moment of every instrument by every procedure that it was tested by.
func (s *Store) LastTests(ctx context.Context, before unit.Instant) ([]LastTest, error) {
	var rows []LastTest
	err := s.db(ctx).Raw(lastTests, before, before).Scan(&rows).Error
	return rows, err
}

// VersionsBefore lists the things of a noun as they were at a moment, by code; what came later is absent.
func (s *Store) VersionsBefore(ctx context.Context, noun string, before unit.Instant) ([]models.Version, error) {
	var rows []models.Version
	err := s.db(ctx).Raw(`SELECT v.* FROM versions v JOIN (
			SELECT code, MAX(version) AS version FROM versions WHERE noun = ? AND recorded_at < ? GROUP BY code
		) l ON v.noun = ? AND v.code = l.code AND v.version = l.version ORDER BY v.code`, noun, before, noun).Scan(&rows).Error
	return rows, err
}

// Procedures lists every procedure by code.
func (s *Store) Procedures(ctx context.Context) ([]models.Procedure, error) {
	var rows []models.Procedure
	err := s.db(ctx).Order("code").Find(&rows).Error
	return rows, err
}

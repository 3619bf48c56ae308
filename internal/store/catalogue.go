package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"spanroom/internal/problem"
	"spanroom/models"
)

// nounTables are the typed tables of the catalogue, one a noun. Settings have none: their versions are all there is.
var nounTables = map[string]string{
	"component": "components", "blend": "blends", "item": "items", "supplier": "suppliers", "place": "places",
	"regulator": "regulators", "tubing": "tubings", "cap": "caps", "procedure": "procedures", "model": "instrument_models",
	"instrument": "instruments", "round": "rounds",
}

func tableOf(noun string) (string, error) {
	table, ok := nounTables[noun]
	if !ok {
		return "", fmt.Errorf("store: no table for the noun %q", noun)
	}
	return table, nil
}

// Named is a thing of the catalogue by its database id, its code and its name.
type Named struct {
	ID   int64  `gorm:"column:id"`
	Code string `gorm:"column:code"`
	Name string `gorm:"column:name"`
}

// CatalogueID gives the id behind a code of a noun, or 0 where there is none.
func (s *Store) CatalogueID(ctx context.Context, noun, code string) (int64, error) {
	table, err := tableOf(noun)
	if err != nil {
		return 0, err
	}
	var ids []int64
	err = s.db(ctx).Table(table).Where("code = ?", code).Limit(1).Pluck("id", &ids).Error
	if err != nil || len(ids) == 0 {
		return 0, err
	}
	return ids[0], nil
}

// CatalogueLike gives the code that somebody may mean who typed text: the same in another case, or the name. "" where there is none.
func (s *Store) CatalogueLike(ctx context.Context, noun, text string) (string, error) {
	table, err := tableOf(noun)
	if err != nil {
		return "", err
	}
	var codes []string
	err = s.db(ctx).Table(table).Where("lower(code) = lower(?) OR lower(name) = lower(?)", text, text).
		Order("code").Limit(1).Pluck("code", &codes).Error
	if err != nil || len(codes) == 0 {
		return "", err
	}
	return codes[0], nil
}

// CatalogueCode gives the code that is there already, in whatever case, or "".
func (s *Store) CatalogueCode(ctx context.Context, noun, code string) (string, error) {
	var codes []string
	err := s.db(ctx).Model(&models.Version{}).Where("noun = ? AND lower(code) = lower(?) AND version = 1", noun, code).
		Limit(1).Pluck("code", &codes).Error
	if err != nil || len(codes) == 0 {
		return "", err
	}
	return codes[0], nil
}

// CatalogueNames lists every thing of a noun by its code.
func (s *Store) CatalogueNames(ctx context.Context, noun string) ([]Named, error) {
	table, err := tableOf(noun)
	if err != nil {
		return nil, err
	}
	var rows []Named
	err = s.db(ctx).Table(table).Select("id, code, name").Order("code").Find(&rows).Error
	return rows, err
}

// PutCatalogueRow writes the typed row of a noun and gives its id: a new row where had is 0, else over version had.
// It answers a conflict when the code is taken, or when the row is at another version by now.
func (s *Store) PutCatalogueRow(ctx context.Context, noun, code string, had int64, row any) (int64, error) {
	if had == 0 {
		if err := translate(s.db(ctx).Create(row).Error); err != nil {
			return 0, err
		}
		return s.CatalogueID(ctx, noun, code)
	}
	res := s.db(ctx).Model(row).Where("code = ? AND version = ?", code, had).Select("*").Omit("id").Updates(row)
	if res.Error != nil {
		return 0, translate(res.Error)
	}
	if res.RowsAffected != 1 {
		return 0, problem.New(problem.Conflict, fmt.Sprintf("somebody changed %s %s at the same moment", noun, code), "read it again and repeat the change")
	}
	return s.CatalogueID(ctx, noun, code)
}

// AddVersion keeps one more state of a catalogue thing.
func (s *Store) AddVersion(ctx context.Context, v models.Version) error {
	return translate(s.db(ctx).Create(&v).Error)
}

// LatestVersion gives the state of a thing as it is now, or false where there is no such thing. It is read at every
// check-out, for the settings.
func (s *Store) LatestVersion(ctx context.Context, noun, code string) (models.Version, bool, error) {
	v := models.Version{Noun: noun, Code: code}
	err := s.db(ctx).Raw(`SELECT id, version, doc, recorded_at, by_name FROM versions
		WHERE noun = ? AND code = ? ORDER BY version DESC LIMIT 1`, noun, code).
		Row().Scan(&v.ID, &v.Version, &v.Doc, &v.RecordedAt, &v.ByName)
	if errors.Is(err, sql.ErrNoRows) {
		return models.Version{}, false, nil
	}
	return v, err == nil, err
}

// VersionOf gives one state of a thing, however old.
func (s *Store) VersionOf(ctx context.Context, noun, code string, version int64) (models.Version, error) {
	var v models.Version
	err := s.db(ctx).Where("noun = ? AND code = ? AND version = ?", noun, code, version).Take(&v).Error
	return v, found(err, noun, fmt.Sprintf("%s at version %d", code, version))
}

// VersionsOf lists the states of a thing, newest first.
func (s *Store) VersionsOf(ctx context.Context, noun, code string) ([]models.Version, error) {
	var rows []models.Version
	err := s.db(ctx).Where("noun = ? AND code = ?", noun, code).Order("version DESC").Find(&rows).Error
	return rows, err
}

// LatestDocs gives the documents of several things of a noun as they are now, by code; a code that is not known is absent.
func (s *Store) LatestDocs(ctx context.Context, noun string, codes []string) (map[string]string, error) {
	table, err := tableOf(noun)
	if err != nil {
		return nil, err
	}
	var rows []models.Version
	err = s.db(ctx).Table(table+" AS t").Select("v.code, v.doc").
		Joins("JOIN versions v ON v.noun = ? AND v.code = t.code AND v.version = t.version", noun).
		Where("t.code IN ?", codes).Find(&rows).Error
	docs := make(map[string]string, len(rows))
	for _, v := range rows {
		docs[v.Code] = v.Doc
	}
	return docs, err
}

// LatestVersions lists the things of a noun as they are now, by code, those after a code; a limit of 0 lists all.
func (s *Store) LatestVersions(ctx context.Context, noun, after string, limit int) ([]models.Version, error) {
	table, err := tableOf(noun)
	if err != nil {
		return nil, err
	}
	q := s.db(ctx).Table(table+" AS t").Select("v.*").
		Joins("JOIN versions v ON v.noun = ? AND v.code = t.code AND v.version = t.version", noun).
		Where("t.code > ?", after).Order("t.code")
	if limit > 0 {
		q = q.Limit(limit)
	}
	var rows []models.Version
	err = q.Find(&rows).Error
	return rows, err
}

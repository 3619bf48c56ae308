package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"gorm.io/gorm/clause"

	"spanroom/models"
)

// AddFile keeps a file. One of the same content is kept once, under the name with which it came first.
func (s *Store) AddFile(ctx context.Context, f models.File) error {
	return s.db(ctx).Clauses(clause.OnConflict{DoNothing: true}).Create(&f).Error
}

// FileBySHA256 gives a file by the fingerprint of its content.
func (s *Store) FileBySHA256(ctx context.Context, sum string) (models.File, error) {
	var f models.File
	err := found(s.db(ctx).Where("sha256 = ?", sum).Take(&f).Error, "file", sum)
	return f, err
}

// FileNote is what is to be known of a file without its content.
type FileNote struct {
	SHA256 string `gorm:"column:sha256"`
	Kind   string
	Name   string
	Size   int64
}

// FilesNoted gives the notes of several files at once.
func (s *Store) FilesNoted(ctx context.Context, sums []string) (map[string]FileNote, error) {
	out := make(map[string]FileNote, len(sums))
	if len(sums) == 0 {
		return out, nil
	}
	var rows []FileNote
	err := s.db(ctx).Raw("SELECT sha256, kind, name, LENGTH(bytes) AS size FROM files WHERE sha256 IN ?", sums).Scan(&rows).Error
	for _, row := range rows {
		out[row.SHA256] = row
	}
	return out, err
}

// CertificatesOfLot lists every document of a lot and of its cylinders, the newest first.
func (s *Store) CertificatesOfLot(ctx context.Context, lotID int64) ([]models.Certificate, error) {
	var rows []models.Certificate
	err := s.db(ctx).Where("lot_id = ?", lotID).Order("id DESC").Find(&rows).Error
	return rows, err
}

// AttachFile puts a file to a document that came without one.
func (s *Store) AttachFile(ctx context.Context, certificateID int64, sum string) error {
	return s.db(ctx).Exec("UPDATE certificates SET file_sha256 = ? WHERE id = ? AND file_sha256 = ''", sum, certificateID).Error
}

// HoldsOfLot lists the standing holds on a lot itself and on its cylinders.
func (s *Store) HoldsOfLot(ctx context.Context, lotID int64) ([]models.Hold, error) {
	var rows []models.Hold
	err := s.db(ctx).Where(`released_at = 0 AND (on_kind = 'lot' AND on_id = ?
		OR on_kind = 'cylinder' AND on_id IN (SELECT id FROM cylinders WHERE lot_id = ?))`, lotID, lotID).Order("placed_at, id").Find(&rows).Error
	return rows, err
}

// verifyFiles compares the content of every file with its fingerprint, which the ledger has, and looks for files that are gone.
func (s *Store) verifyFiles(ctx context.Context) ([]string, error) {
	var sums, gone, wrong []string
	if err := s.db(ctx).Model(&models.File{}).Order("sha256").Pluck("sha256", &sums).Error; err != nil {
		return nil, err
	}
	for _, sum := range sums { // one at a time: they may be large
		f, err := s.FileBySHA256(ctx, sum)
		if err != nil {
			return nil, err
		}
		if is := sha256.Sum256(f.Bytes); hex.EncodeToString(is[:]) != sum {
			wrong = append(wrong, fmt.Sprintf("file %s (%s): its content is not what its fingerprint says", sum, f.Name))
		}
	}
	err := s.db(ctx).Raw(`SELECT DISTINCT file_sha256 FROM certificates WHERE file_sha256 <> '' AND file_sha256 NOT IN (SELECT sha256 FROM files)
		ORDER BY file_sha256`).Scan(&gone).Error
	for _, sum := range gone {
		wrong = append(wrong, fmt.Sprintf("file %s: a certificate came with it, and it is gone", sum))
	}
	return wrong, err
}

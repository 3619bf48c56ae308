package store_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

func TestFilesAreKeptOnceByTheirContent(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		data := []byte("%PDF-1.7\x00\xff")
		hash := sha256.Sum256(data)
		sum := hex.EncodeToString(hash[:])
		file := models.File{SHA256: sum, Kind: "application/pdf", Name: "first.pdf", RecordedAt: 1, Bytes: data}
		paper := models.Certificate{LotID: lot7, Kind: "analysis"}
		write(t, s, func(tx *store.Store) error {
			if err := tx.AddFile(t.Context(), file); err != nil {
				return err
			}
			again := file
			again.Name = "second.pdf"
			if err := tx.AddFile(t.Context(), again); err != nil {
				return err
			}
			if err := tx.AddCertificate(t.Context(), &paper, nil); err != nil {
				return err
			}
			return tx.AttachFile(t.Context(), paper.ID, sum)
		})
		kept, err := s.FileBySHA256(t.Context(), sum)
		if err != nil || kept.Name != "first.pdf" || !bytes.Equal(kept.Bytes, data) {
			t.Errorf("%+v %v", kept, err)
		}
		notes, err := s.FilesNoted(t.Context(), []string{sum, "00"})
		if err != nil || len(notes) != 1 || notes[sum] != (store.FileNote{SHA256: sum, Kind: "application/pdf", Name: "first.pdf", Size: int64(len(data))}) {
			t.Errorf("%+v %v", notes, err)
		}
		if papers, err := s.CertificatesOfLot(t.Context(), lot7); err != nil || len(papers) == 0 || papers[0].FileSHA256 != sum {
			t.Errorf("%+v %v", papers, err)
		}
		if _, err := s.FileBySHA256(t.Context(), "00"); problem.KindOf(err) != problem.Missing {
			t.Error(err)
		}
		for _, c := range []struct{ statement, want string }{
			{"UPDATE files SET name = 'third.pdf'", ""},
			{"UPDATE files SET bytes = CAST(name AS " + map[bool]string{true: "BYTEA", false: "BLOB"}[store.IsPostgres(address)] + ")", "its content is not what its fingerprint says"},
			{"DELETE FROM files", "a certificate came with it, and it is gone"},
			{"UPDATE certificates SET file_sha256 = ''", ""},
		} {
			exec(t, db, c.statement)
			v, err := s.Verify(t.Context())
			if got := strings.Join(v.Balances, "\n"); err != nil || v.Fault != nil || (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
				t.Errorf("%s: %q, want %q (%v)", c.statement, got, c.want, err)
			}
		}
	})
}

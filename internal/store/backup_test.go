package store_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// keepWriting lets four writers go on until stop is called.
func keepWriting(t *testing.T, s *store.Store) (stop func()) {
	t.Helper()
	var all sync.WaitGroup
	done := make(chan struct{})
	for range 4 {
		all.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
				}
				if err := s.Tx(t.Context(), func(tx *store.Store) error { return readGauge(t.Context(), tx, "2222-222A") }); err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	return func() { close(done); all.Wait() }
}

// A copy made while others write is one moment of the database, and a restored one goes on from there.
func TestBackupAndRestoreWhileOthersWrite(t *testing.T) {
	dir := t.TempDir()
	s, _ := stock(t, filepath.Join(dir, "live.db"))
	begun := head(t, s)
	stop := keepWriting(t, s)
	copied, err := s.Backup(t.Context(), filepath.Join(dir, "copy.db"))
	stop()
	if err != nil {
		t.Fatal(err)
	}
	if ended := head(t, s); copied.Seq < begun.Seq || copied.Seq >= ended.Seq {
		t.Errorf("began at %d, copied %d, ended at %d", begun.Seq, copied.Seq, ended.Seq)
	}
	restored, err := store.Restore(t.Context(), filepath.Join(dir, "copy.db"), filepath.Join(dir, "again.db"))
	if err != nil || restored != copied {
		t.Fatalf("restored %+v, %v, copied %+v", restored, err, copied)
	}
	again := storetest.Open(t, filepath.Join(dir, "again.db"))
	write(t, again, func(tx *store.Store) error { return readGauge(t.Context(), tx, "2222-222A") })
	v, err := again.Verify(t.Context())
	if err != nil || !v.Sound() || v.Entries != copied.Seq+1 {
		t.Errorf("%+v, %v", v, err)
	}
	left, err := filepath.Glob(filepath.Join(dir, "*.unfinished*"))
	if err != nil || len(left) != 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// The database and its copies hold password hashes: nobody else on the machine reads them, unless somebody lets them.
func TestFilesAreForTheirOwner(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("not run: Windows keeps rights in another way")
	}
	dir := t.TempDir()
	live, copied, lent := filepath.Join(dir, "live.db"), filepath.Join(dir, "copy.db"), filepath.Join(dir, "lent.db")
	s, _ := stock(t, live)
	if _, err := s.Backup(t.Context(), copied); err != nil {
		t.Fatal(err)
	}
	if _, err := store.Restore(t.Context(), copied, lent); err != nil {
		t.Fatal(err)
	}
	checkRights(t, map[string]os.FileMode{live: 0o600, live + "-wal": 0o600, copied: 0o600, lent: 0o600})
	if err := os.Chmod(lent, 0o640); err != nil {
		t.Fatal(err)
	}
	storetest.Open(t, lent)
	checkRights(t, map[string]os.FileMode{lent: 0o640})
}

func checkRights(t *testing.T, rights map[string]os.FileMode) {
	t.Helper()
	for path, want := range rights {
		about, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		if got := about.Mode().Perm(); got != want {
			t.Errorf("%s: %v, want %v", filepath.Base(path), got, want)
		}
	}
}

func TestBackupAndRestoreOverwriteNothing(t *testing.T) {
	dir := t.TempDir()
	s, _ := stock(t, filepath.Join(dir, "live.db"))
	good := filepath.Join(dir, "good.db")
	if _, err := s.Backup(t.Context(), good); err != nil {
		t.Fatal(err)
	}
	for _, remains := range []string{"", "-wal", "-shm"} {
		path := filepath.Join(dir, "there"+remains)
		content := []byte("somebody's")
		if err := os.WriteFile(path+remains, content, 0o600); err != nil {
			t.Fatal(err)
		}
		_, backup := s.Backup(t.Context(), path)
		_, restore := store.Restore(t.Context(), good, path)
		for _, err := range []error{backup, restore} {
			if err == nil || !strings.Contains(err.Error(), path+remains+" exists already") {
				t.Errorf("%q: %v", remains, err)
			}
		}
		if after, err := os.ReadFile(path + remains); err != nil || !bytes.Equal(after, content) {
			t.Errorf("%q: it holds %q now, %v", remains, after, err)
		}
	}
}

func TestRestoreRefusesABadCopy(t *testing.T) {
	dir := t.TempDir()
	s, _ := stock(t, filepath.Join(dir, "live.db"))
	good := filepath.Join(dir, "good.db")
	if _, err := s.Backup(t.Context(), good); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	spoil := func(from, to int) []byte {
		bad := bytes.Clone(whole)
		for i := from; i < to; i++ {
			bad[i] ^= 0x5A
		}
		return bad
	}
	for name, content := range map[string][]byte{
		"cut short":             whole[:len(whole)/2],
		"empty":                 {},
		"another kind of file":  []byte(strings.Repeat("not a database\n", 400)),
		"spoiled at the start":  spoil(0, 100),
		"spoiled in the middle": spoil(len(whole)/2, len(whole)*3/4),
		"spoiled at the end":    spoil(len(whole)-4096, len(whole)),
	} {
		bad, target := filepath.Join(dir, "bad.db"), filepath.Join(dir, "target.db")
		if err := os.WriteFile(bad, content, 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := store.Restore(t.Context(), bad, target); err == nil {
			t.Errorf("%s: restored", name)
		}
		if _, err := os.Stat(target); !errors.Is(err, os.ErrNotExist) {
			t.Fatalf("%s: left a file behind: %v", name, err)
		}
	}
	if _, err := store.Restore(t.Context(), filepath.Join(dir, "none.db"), filepath.Join(dir, "target.db")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("no file: %v", err)
	}
}

// A copy may be whole and yet refer to what is not there; somebody worked on it with foreign keys off.
func TestRestoreRefusesDanglingReferences(t *testing.T) {
	dir := t.TempDir()
	s, _ := stock(t, filepath.Join(dir, "live.db"))
	copied := filepath.Join(dir, "copy.db")
	if _, err := s.Backup(t.Context(), copied); err != nil {
		t.Fatal(err)
	}
	db := second(t, copied)
	db.SetMaxOpenConns(1) // the pragma holds for one connection
	exec(t, db, "PRAGMA foreign_keys = OFF", "DELETE FROM suppliers")
	_, err := store.Restore(t.Context(), copied, filepath.Join(dir, "target.db"))
	if err == nil || !strings.Contains(err.Error(), "dangling references") {
		t.Errorf("%v", err)
	}
}

func TestPostgresIsCopiedByItsOwnTools(t *testing.T) {
	address := storetest.PostgresSchema(t)
	s := storetest.Open(t, address)
	target := filepath.Join(t.TempDir(), "copy.db")
	_, backup := s.Backup(t.Context(), target)
	_, restore := store.Restore(t.Context(), target, address)
	for name, err := range map[string]error{"backup": backup, "restore": restore} {
		if !errors.Is(err, store.ErrPostgresBackup) || !strings.Contains(err.Error(), "pg_dump") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := os.Stat(target); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a file is there: %v", err)
	}
}

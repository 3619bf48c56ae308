package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"

	"gorm.io/gorm"
)

// ErrPostgresBackup says who makes copies of a PostgreSQL database.
var ErrPostgresBackup = errors.New("a PostgreSQL database is copied by its own tools: use pg_dump to back up and pg_restore to bring it back")

// Backup writes a checked copy of the database to a new file while it is in use, and gives the ledger's head in that copy.
func (s *Store) Backup(ctx context.Context, path string) (Head, error) {
	if s.core.postgres {
		return Head{}, ErrPostgresBackup
	}
	if err := s.core.copyTo(ctx, path); err != nil {
		return Head{}, err
	}
	return checkCopy(ctx, path)
}

// copyTo makes the copy under another name first, so that a file at path is always whole.
func (c *core) copyTo(ctx context.Context, path string) error {
	if err := mustBeNew(path); err != nil {
		return err
	}
	unfinished := path + ".unfinished"
	if err := os.RemoveAll(unfinished); err != nil {
		return err
	}
	if err := private(unfinished); err != nil {
		return err
	}
	if err := c.read.WithContext(ctx).Exec("VACUUM INTO ?", unfinished).Error; err != nil {
		return fmt.Errorf("copying to %s: %w", path, err)
	}
	if err := syncFile(unfinished); err != nil {
		return err
	}
	if err := os.Rename(unfinished, path); err != nil {
		return err
	}
	return syncDir(filepath.Dir(path))
}

// Restore puts a backup at a path where no database is, after checking it, and gives the ledger's head in it.
func Restore(ctx context.Context, backup, path string) (Head, error) {
	if IsPostgres(path) {
		return Head{}, ErrPostgresBackup
	}
	if err := mustBeNew(path); err != nil {
		return Head{}, err
	}
	head, err := checkCopy(ctx, backup)
	if err != nil {
		return Head{}, err
	}
	db, err := openSQLite(ctx, sqliteReader(backup), 1)
	if err != nil {
		return Head{}, err
	}
	c := &core{address: backup, read: db}
	return head, errors.Join(c.copyTo(ctx, path), c.disconnect())
}

// checkCopy opens a copy read-only and runs SQLite's own checks on it.
func checkCopy(ctx context.Context, path string) (Head, error) {
	if _, err := os.Stat(path); err != nil {
		return Head{}, err
	}
	db, err := openSQLite(ctx, sqliteReader(path), 1)
	if err != nil {
		return Head{}, fmt.Errorf("%s is not a database that can be read: %w", path, err)
	}
	c := &core{read: db}
	head, err := readCopy(ctx, db, &Store{core: c})
	return head, errors.Join(err, c.disconnect())
}

func readCopy(ctx context.Context, db *gorm.DB, s *Store) (Head, error) {
	var verdict string
	if err := db.WithContext(ctx).Raw("PRAGMA integrity_check(1)").Scan(&verdict).Error; err != nil {
		return Head{}, err
	}
	if verdict != "ok" {
		return Head{}, fmt.Errorf("the copy is damaged: %s", verdict)
	}
	var dangling []map[string]any
	if err := db.WithContext(ctx).Raw("PRAGMA foreign_key_check").Scan(&dangling).Error; err != nil {
		return Head{}, err
	}
	if len(dangling) > 0 {
		return Head{}, fmt.Errorf("the copy has %d dangling references", len(dangling))
	}
	return s.Head(ctx)
}

// mustBeNew refuses a path where a database is, or the remains of one.
func mustBeNew(path string) error {
	for _, suffix := range []string{"", "-wal", "-shm"} {
		if _, err := os.Stat(path + suffix); err == nil {
			return fmt.Errorf("%s exists already; choose a new name", path+suffix)
		}
	}
	return nil
}

func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// syncDir makes a new name in a directory durable; Windows has no such call and needs none.
func syncDir(path string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	dir, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(dir.Sync(), dir.Close())
}

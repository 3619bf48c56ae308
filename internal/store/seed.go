package store

import (
	"context"
	"errors"
	"log/slog"

	"gorm.io/gorm"
)

// Seed fills a new SQLite file in one transaction and without waiting for the disk. Only one goroutine may use the store
// that fn is given; what fn returns an error for is not kept.
func Seed(ctx context.Context, path string, fn func(s *Store) error) error {
	if err := mustBeNew(path); err != nil {
		return err
	}
	c := &core{address: path, log: slog.New(slog.DiscardHandler)}
	if err := c.connect(ctx, careless); err != nil {
		return errors.Join(err, c.disconnect())
	}
	if err := c.migrate(ctx, migrations); err != nil {
		return errors.Join(err, c.disconnect())
	}
	writers := c.write
	err := writers.WithContext(ctx).Transaction(func(tx *gorm.DB) error {
		inside := &core{address: path, write: tx, read: tx, log: c.log}
		return fn(&Store{core: inside})
	})
	if err == nil {
		err = writers.Exec("PRAGMA wal_checkpoint(TRUNCATE)").Error
	}
	return errors.Join(err, c.disconnect())
}

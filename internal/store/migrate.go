package store

import (
	"context"
	"embed"
	"fmt"
	"io/fs"
	"time"

	"github.com/pressly/goose/v3"
)

//go:embed migrations
var migrations embed.FS

// migrate brings the schema up to date, after a copy of what was there. It refuses a schema that is newer than this program.
func (c *core) migrate(ctx context.Context, all fs.FS) error {
	dialect, dir := goose.DialectSQLite3, "migrations/sqlite"
	if c.postgres {
		dialect, dir = goose.DialectPostgres, "migrations/postgres"
	}
	files, err := fs.Sub(all, dir)
	if err != nil {
		return err
	}
	pool, err := c.write.DB()
	if err != nil {
		return err
	}
	steps, err := goose.NewProvider(dialect, pool, files)
	if err != nil {
		return err
	}
	now, newest, err := steps.GetVersions(ctx)
	if err != nil {
		return fmt.Errorf("reading the schema version: %w", err)
	}
	if now > newest {
		return fmt.Errorf("the database has schema %d, this program knows %d; use a newer spanroom", now, newest)
	}
	if now == newest {
		return nil
	}
	if now > 0 && !c.postgres {
		if err := c.copyTo(ctx, fmt.Sprintf("%s.before-%d.%s", c.address, newest, time.Now().UTC().Format("20060102T150405.000Z"))); err != nil {
			return fmt.Errorf("copying the database before its schema changes: %w", err)
		}
	}
	if _, err := steps.Up(ctx); err != nil {
		return fmt.Errorf("changing the schema: %w", err)
	}
	return nil
}

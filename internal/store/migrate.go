package store

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"time"

	"github.com/pressly/goose/v3"
)

// schemaLock is the advisory lock under which a PostgreSQL schema changes. Goose has one of its own, but makes the table of
// versions before it takes it.
const schemaLock = 7_250_118

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
	if !c.postgres {
		return c.bringUp(ctx, steps)
	}
	return alone(ctx, pool, func() error { return c.bringUp(ctx, steps) })
}

// bringUp runs the steps that the schema has not seen.
func (c *core) bringUp(ctx context.Context, steps *goose.Provider) error {
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

// alone runs fn while no other server changes the schema; the second of two that start at once waits and finds it done. The lock
// is that of a transaction which does nothing else, so that it ends with its connection.
func alone(ctx context.Context, pool *sql.DB, fn func() error) error {
	lock, err := pool.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer func() { _ = lock.Rollback() }() // it wrote nothing, and there is no harm in a connection that is lost
	if _, err := lock.ExecContext(ctx, "SELECT pg_advisory_xact_lock($1)", schemaLock); err != nil {
		return fmt.Errorf("waiting for another server to change the schema: %w", err)
	}
	return fn()
}

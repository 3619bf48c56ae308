package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // registers "pgx"
	"gorm.io/driver/postgres"
	"gorm.io/driver/sqlite"
	"gorm.io/gorm"
	"gorm.io/gorm/logger"
)

// care is how much a SQLite writer waits for the disk.
type care string

const (
	durable  care = "FULL"
	careless care = "OFF"
)

// How many connections stand open. PostgreSQL's writers take turns, so a second one only gets ready meanwhile.
const (
	sqliteReaders   = 4
	postgresReaders = 14
	postgresWriters = 2
)

func gormConfig() *gorm.Config {
	return &gorm.Config{
		SkipDefaultTransaction: true, QueryFields: true, Logger: logger.Discard,
		DisableForeignKeyConstraintWhenMigrating: true,
		NowFunc:                                  func() time.Time { return time.Now().UTC().Truncate(time.Millisecond) },
	}
}

func (c *core) connect(ctx context.Context, how care) error {
	if c.postgres {
		return c.connectPostgres(ctx)
	}
	err := private(c.address)
	if err != nil {
		return fmt.Errorf("opening %s: %w", c.address, err)
	}
	if c.write, err = openSQLite(ctx, sqliteWriter(c.address, how), 1); err != nil {
		return fmt.Errorf("opening %s: %w", c.address, err)
	}
	if err := c.assertSettings(ctx, how); err != nil {
		return err
	}
	// The file exists only now, so the read-only pool comes second.
	if c.read, err = openSQLite(ctx, sqliteReader(c.address), sqliteReaders); err != nil {
		return fmt.Errorf("opening %s for reading: %w", c.address, err)
	}
	return nil
}

// private makes a file that is not there yet, for its owner's eyes alone: SQLite would let everybody on the machine read it.
// One that is there keeps the rights that somebody gave it. A database in memory has no file.
func private(path string) error {
	if path == ":memory:" {
		return nil
	}
	f, err := os.OpenFile(path, os.O_RDONLY|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	return f.Close()
}

func (c *core) connectPostgres(ctx context.Context) error {
	var err error
	if c.write, err = openPostgres(ctx, c.address, postgresWriters); err != nil {
		return fmt.Errorf("opening PostgreSQL: %w", err)
	}
	if c.read, err = openPostgres(ctx, c.address, postgresReaders); err != nil {
		return fmt.Errorf("opening PostgreSQL for reading: %w", err)
	}
	return nil
}

func openPostgres(ctx context.Context, address string, conns int) (*gorm.DB, error) {
	return openPool(ctx, "pgx", address, conns, func(pool *sql.DB) gorm.Dialector {
		return postgres.New(postgres.Config{Conn: pool})
	})
}

func openSQLite(ctx context.Context, dsn string, conns int) (*gorm.DB, error) {
	return openPool(ctx, sqliteDriver, dsn, conns, func(pool *sql.DB) gorm.Dialector {
		return sqlite.Dialector{DriverName: sqliteDriver, Conn: pool}
	})
}

func openPool(ctx context.Context, driver, dsn string, conns int, dialector func(*sql.DB) gorm.Dialector) (*gorm.DB, error) {
	pool, err := sql.Open(driver, dsn)
	if err != nil {
		return nil, err
	}
	pool.SetMaxOpenConns(conns)
	pool.SetMaxIdleConns(conns)
	pool.SetConnMaxLifetime(0)
	db, err := gorm.Open(dialector(pool), gormConfig())
	if err == nil {
		err = pool.PingContext(ctx)
	}
	if err != nil {
		return nil, errors.Join(err, pool.Close())
	}
	return db, nil
}

// assertSettings refuses to work on a connection that would lose acknowledged writes or let dangling references in.
func (c *core) assertSettings(ctx context.Context, how care) error {
	want := map[string]string{"journal_mode": "wal", "foreign_keys": "1", "synchronous": "2"}
	if how == careless {
		want["synchronous"] = "0"
	}
	for pragma, value := range want {
		var got string
		if err := c.write.WithContext(ctx).Raw("PRAGMA " + pragma).Scan(&got).Error; err != nil {
			return err
		}
		if got != value {
			return fmt.Errorf("SQLite runs with %s = %s, need %s", pragma, got, value)
		}
	}
	var verdict string
	if err := c.write.WithContext(ctx).Raw("PRAGMA quick_check(1)").Scan(&verdict).Error; err != nil {
		return err
	}
	if verdict != "ok" {
		return fmt.Errorf("the database file is damaged: %s; restore the last backup", verdict)
	}
	return nil
}

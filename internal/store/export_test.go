package store

import (
	"context"
	"io/fs"
	"log/slog"
	"testing/fstest"
)

// What the tests outside need beyond what the program needs.

const (
	SQLiteDriver = sqliteDriver
	SchemaLock   = schemaLock
)

var (
	Migrations = migrations
	HashOf     = hashOf
)

func SQLiteAddress(path string) string { return sqliteWriter(path, durable) }

func (s *Store) Exec(ctx context.Context, statement string, values ...any) error {
	return s.db(ctx).Exec(statement, values...).Error
}

// OpenFirst opens an empty database with the schema of the first release.
func OpenFirst(ctx context.Context, address string) (*Store, error) {
	c := &core{address: address, postgres: IsPostgres(address), log: slog.New(slog.DiscardHandler)}
	if err := c.connect(ctx, durable); err != nil {
		return nil, err
	}
	first := fstest.MapFS{}
	for _, dialect := range []string{"sqlite", "postgres"} {
		name := "migrations/" + dialect + "/00001_start.sql"
		data, err := migrations.ReadFile(name)
		if err != nil {
			return nil, err
		}
		first[name] = &fstest.MapFile{Data: data}
	}
	return &Store{core: c}, c.migrate(ctx, first)
}

func (s *Store) Migrate(ctx context.Context, all fs.FS) error { return s.core.migrate(ctx, all) }

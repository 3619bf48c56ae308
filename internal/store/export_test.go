package store

import (
	"context"
	"io/fs"
)

// What the tests outside need beyond what the program needs.

const SQLiteDriver = sqliteDriver

var (
	Migrations = migrations
	HashOf     = hashOf
)

func SQLiteAddress(path string) string { return sqliteWriter(path, durable) }

func (s *Store) Exec(ctx context.Context, statement string, values ...any) error {
	return s.db(ctx).Exec(statement, values...).Error
}

func (s *Store) Migrate(ctx context.Context, all fs.FS) error { return s.core.migrate(ctx, all) }

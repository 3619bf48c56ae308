// Package store keeps everything in SQLite or PostgreSQL. Its queries have names, and Tx is the only door to writing.
package store

import (
	"context"
	"errors"
	"log/slog"
	"strings"

	"gorm.io/gorm"
)

// Store reads, and inside Tx writes. The same type serves both, so that a use case reads what it has just written.
type Store struct {
	core *core
	tx   *gorm.DB // set inside Tx
}

// core is what all Stores of one database share.
type core struct {
	address  string
	postgres bool
	write    *gorm.DB
	read     *gorm.DB
	jobs     chan *job     // SQLite alone: to the one writer
	closing  chan struct{} // no more jobs
	stopped  chan struct{} // the writer has ended
	log      *slog.Logger
}

// Options are what a caller may choose when a store is opened.
type Options struct {
	Log *slog.Logger
}

// Open opens the database at a path, or at a postgres:// address, and brings its schema up to date.
func Open(ctx context.Context, address string, o Options) (*Store, error) {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	c := &core{address: address, postgres: IsPostgres(address), log: o.Log}
	if err := c.connect(ctx, durable); err != nil {
		return nil, errors.Join(err, c.disconnect())
	}
	if err := c.migrate(ctx, migrations); err != nil {
		return nil, errors.Join(err, c.disconnect())
	}
	if !c.postgres {
		c.jobs, c.closing, c.stopped = make(chan *job), make(chan struct{}), make(chan struct{})
		go c.commitInGroups()
	}
	return &Store{core: c}, nil
}

// IsPostgres tells whether an address is that of a PostgreSQL server.
func IsPostgres(address string) bool {
	return strings.HasPrefix(address, "postgres://") || strings.HasPrefix(address, "postgresql://")
}

// Close waits for the writer, tidies the write-ahead log and closes the database. It is called once; a Tx that comes later fails.
func (s *Store) Close() error {
	c := s.core
	if c.jobs != nil {
		close(c.closing)
		<-c.stopped
		if err := c.write.Exec("PRAGMA wal_checkpoint(TRUNCATE)").Error; err != nil {
			c.log.Warn("checkpoint at close", "error", err)
		}
	}
	return c.disconnect()
}

// Ready tells whether the database answers.
func (s *Store) Ready(ctx context.Context) error {
	return s.db(ctx).Exec("SELECT 1").Error
}

// Tidy does the housekeeping that wants doing now and then: statistics for the query planner, and the write-ahead log.
func (s *Store) Tidy(ctx context.Context) error {
	if s.core.postgres {
		return nil
	}
	return s.core.write.WithContext(ctx).Exec("PRAGMA optimize; PRAGMA wal_checkpoint(PASSIVE)").Error
}

// db is the transaction inside Tx, and the readers outside.
func (s *Store) db(ctx context.Context) *gorm.DB {
	if s.tx != nil {
		return s.tx.WithContext(context.WithoutCancel(ctx))
	}
	return s.core.read.WithContext(ctx)
}

// disconnect closes the readers first: SQLite's last connection clears the write-ahead log away, if it may write.
func (c *core) disconnect() error {
	var errs []error
	for _, pool := range []*gorm.DB{c.read, c.write} {
		if pool == nil {
			continue
		}
		db, err := pool.DB()
		if err == nil {
			err = db.Close()
		}
		errs = append(errs, err)
	}
	return errors.Join(errs...)
}

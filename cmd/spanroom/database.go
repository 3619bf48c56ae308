package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"

	"spanroom/internal/problem"
	"spanroom/internal/store"
)

// database is the flag that says where everything is kept.
type database struct {
	DB string `name:"db" required:"" placeholder:"FILE|postgres://…" help:"The database: a SQLite file, or the address of a PostgreSQL server."`
}

// use opens the database for one piece of work and closes it after. A file that is not there yet is made.
func (d database) use(ctx context.Context, log *slog.Logger, work func(s *store.Store) error) (err error) {
	s, err := store.Open(ctx, d.DB, store.Options{Log: log})
	if err != nil {
		return fmt.Errorf("%w; %s", err, d.advice())
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	return work(s)
}

// useExisting is use for work that a new and empty database would make a wrong answer to.
func (d database) useExisting(ctx context.Context, log *slog.Logger, work func(s *store.Store) error) error {
	if !store.IsPostgres(d.DB) {
		if _, err := os.Stat(d.DB); errors.Is(err, fs.ErrNotExist) {
			return problem.New(problem.Missing, "there is no database at "+d.DB, "check --db, or begin a new one with spanroom serve --db "+d.DB)
		}
	}
	return d.use(ctx, log, work)
}

// advice is the next step when the database cannot be opened.
func (d database) advice() string {
	if store.IsPostgres(d.DB) {
		return "check the address in --db, and that the server runs"
	}
	return "check --db, and who may write there"
}

// shown is the address as it may stand on a screen; that of a server can hold a password.
func (d database) shown() string {
	if store.IsPostgres(d.DB) {
		return "postgres://…"
	}
	return d.DB
}

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"text/tabwriter"
	"time"

	"spanroom/internal/demo"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

type demoCommand struct {
	Listen string `default:"127.0.0.1:8080" placeholder:"ADDR" help:"Where to listen; port 0 takes a free one. Default ${default}."`
	DB     string `name:"db" placeholder:"FILE" help:"A new file to keep the demo in. Without it the demo is gone at the end."`
	On     string `placeholder:"YYYY-MM-DD" help:"The date on which the demo's clock starts. Without it the clock is the real one."`
}

// Validate refuses what is not a date, and a server: the demo fills nothing but a new file.
func (c *demoCommand) Validate() error {
	if store.IsPostgres(c.DB) {
		return problem.New(problem.Refused, "the demo is kept in a file, not on a PostgreSQL server", "name a new file with --db, or leave --db and SPANROOM_DB away")
	}
	_, err := c.now()
	return err
}

// now is when the demo begins. Noon in UTC has the same date in the zone of nearly every site.
func (c *demoCommand) now() (time.Time, error) {
	if c.On == "" {
		return time.Now(), nil
	}
	date, err := unit.ParseDate(c.On)
	if err != nil {
		return time.Time{}, err
	}
	midnight, err := time.Parse(time.DateOnly, string(date))
	return midnight.Add(12 * time.Hour), err
}

// Run fills a new store with the demo and serves it until ctx ends.
func (c *demoCommand) Run(ctx context.Context, p *Program) (err error) {
	if c.DB != "" {
		return c.serve(ctx, p, c.DB, c.DB)
	}
	dir, err := os.MkdirTemp("", "spanroom-demo-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	return c.serve(ctx, p, filepath.Join(dir, "demo.db"), "a temporary file that is removed at the end")
}

func (c *demoCommand) serve(ctx context.Context, p *Program, path, where string) error {
	now, err := c.now()
	if err != nil {
		return err
	}
	told, err := demo.Seed(ctx, path, now)
	if err != nil {
		return err
	}
	log := p.log()
	return database{DB: path}.use(ctx, log, func(s *store.Store) error {
		here := site{store: s, now: told.Clock, log: log}
		return here.serve(ctx, c.Listen, func(url string) error { return invite(p.Out, url, where, told) })
	})
}

// invite prints where the demo is and who can sign in.
func invite(out io.Writer, url, where string, told demo.Result) error {
	var text bytes.Buffer
	fmt.Fprintf(&text, "spanroom demo on %s\nkept in %s\nits date is %s\n\n", url, where, told.Clock().Format("2 Jan 2006"))
	table := tabwriter.NewWriter(&text, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "name\trole\tpassword")
	for _, who := range told.SignIns {
		fmt.Fprintf(table, "%s\t%s\t%s\n", who.Name, who.Role, who.Password)
	}
	if err := table.Flush(); err != nil {
		return err
	}
	_, err := text.WriteTo(out)
	return err
}

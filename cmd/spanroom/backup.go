package main

import (
	"context"
	"fmt"

	"spanroom/internal/store"
)

type backupCommand struct {
	database
	File string `arg:"" help:"The new file for the copy."`
}

// Run copies the database and prints the ledger's head in the copy.
func (c *backupCommand) Run(ctx context.Context, p *Program) error {
	if store.IsPostgres(c.DB) {
		return store.ErrPostgresBackup
	}
	return c.useExisting(ctx, p.log(), func(s *store.Store) error {
		head, err := s.Backup(ctx, c.File)
		if err != nil {
			return err
		}
		fmt.Fprintf(p.Err, "copied %s to %s and checked the copy\n", c.DB, c.File)
		return p.head(head)
	})
}

// head prints the ledger's last entry; who keeps it elsewhere can see later whether the tail was cut.
func (p *Program) head(h store.Head) error {
	_, err := fmt.Fprintf(p.Out, "ledger head: %d %s\n", h.Seq, h.Hash)
	return err
}

package main

import (
	"context"
	"fmt"

	"spanroom/internal/store"
)

type restoreCommand struct {
	database
	File string `arg:"" help:"The backup to bring back."`
}

// Run puts the checked backup where --db says and prints the ledger's head in it.
func (c *restoreCommand) Run(ctx context.Context, p *Program) error {
	head, err := store.Restore(ctx, c.File, c.DB)
	if err != nil {
		return err
	}
	fmt.Fprintf(p.Err, "checked %s and brought it back to %s\n", c.File, c.DB)
	return p.head(head)
}

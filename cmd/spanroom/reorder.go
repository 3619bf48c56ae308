package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"spanroom/internal/problem"
	"spanroom/internal/purchase"
	"spanroom/internal/store"
	"spanroom/internal/workbook"
)

type reorderCommand struct {
	database
	Out string `required:"" placeholder:"FILE.xlsx" help:"The new file for the workbook."`
}

// Run makes today's plan and writes it whole or not at all.
func (c *reorderCommand) Run(ctx context.Context, p *Program) error {
	return c.useExisting(ctx, p.log(), func(s *store.Store) error {
		plan, err := purchase.Room{Store: s, Now: time.Now}.Plan(ctx)
		if err != nil {
			return err
		}
		var book bytes.Buffer
		if err := workbook.Write(&book, plan); err != nil {
			return err
		}
		if err := writeNew(c.Out, book.Bytes()); err != nil {
			return err
		}
		fmt.Fprintf(p.Err, "wrote the order table to %s\n", c.Out)
		return nil
	})
}

// writeNew refuses a file that is there: somebody may have answered in it.
func writeNew(path string, content []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return problem.New(problem.Refused, path+" exists already", "choose a new name with --out, or move the file away")
	}
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, os.Remove(path))
	}
	return nil
}

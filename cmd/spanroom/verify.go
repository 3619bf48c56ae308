package main

import (
	"context"
	"fmt"
	"io"

	"spanroom/internal/problem"
	"spanroom/internal/store"
)

type verifyCommand struct {
	database
}

// Run prints what verification found, and fails when the ledger or a balance does not hold.
func (c *verifyCommand) Run(ctx context.Context, p *Program) error {
	return c.useExisting(ctx, p.log(), func(s *store.Store) error {
		found, err := s.Verify(ctx)
		if err != nil {
			return err
		}
		report(p.Out, found)
		if err := p.head(found.Head); err != nil {
			return err
		}
		if !found.Sound() {
			return problem.New(problem.Refused, "the database is not what its ledger says",
				"keep this file as it is, and run spanroom verify on the last backup to see when it was still sound")
		}
		return nil
	})
}

func report(out io.Writer, found store.Verdict) {
	fmt.Fprintf(out, "entries: %d\n", found.Entries)
	if found.Fault == nil {
		fmt.Fprintln(out, "chain: unbroken")
	} else {
		fmt.Fprintf(out, "first bad entry: %d, %s\n", found.Fault.Seq, found.Fault.Why)
	}
	for _, wrong := range found.Balances {
		fmt.Fprintf(out, "does not agree: %s\n", wrong)
	}
	if len(found.Balances) == 0 {
		fmt.Fprintln(out, "balances, cylinders, holds and catalogue: agree with the ledger")
	}
}

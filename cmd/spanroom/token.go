package main

import (
	"context"
	"fmt"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/store"
)

type tokenAddCommand struct {
	database
	Name string    `arg:"" help:"The name of the program, as the ledger shows it."`
	Role auth.Role `required:"" enum:"${roles}" placeholder:"ROLE" help:"One of ${roles}."`
}

// Run adds the token and prints it alone, so that a script can keep it.
func (c *tokenAddCommand) Run(ctx context.Context, p *Program) error {
	return c.use(ctx, p.log(), func(s *store.Store) error {
		token, err := (auth.Room{Store: s, Now: time.Now}).AddToken(ctx, c.Name, c.Role)
		if err != nil {
			return err
		}
		fmt.Fprintf(p.Err, "added a token for %s as %s in %s; it cannot be shown again\n", c.Name, c.Role, c.shown())
		_, err = fmt.Fprintln(p.Out, token)
		return err
	})
}

type tokenRevokeCommand struct {
	database
	Name string `arg:"" help:"The name of the program whose tokens end."`
}

// Run ends every token of a name, for when one was lost.
func (c *tokenRevokeCommand) Run(ctx context.Context, p *Program) error {
	return c.use(ctx, p.log(), func(s *store.Store) error {
		ended, err := (auth.Room{Store: s, Now: time.Now}).RevokeTokens(ctx, c.Name)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(p.Out, "%d ended for %s\n", ended, c.Name)
		return err
	})
}

package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/store"
)

type userAddCommand struct {
	database
	Name     string    `arg:"" help:"The name to sign in with."`
	Role     auth.Role `required:"" enum:"${roles}" placeholder:"ROLE" help:"One of ${roles}."`
	Generate bool      `help:"Make a password and print it, this once. Without it the password is read: a line of the standard input."`
}

// Run adds the person.
func (c *userAddCommand) Run(ctx context.Context, p *Program) error {
	password, err := c.password(ctx, p)
	if err != nil {
		return err
	}
	return c.use(ctx, p.log(), func(s *store.Store) error {
		if err := (auth.Room{Store: s, Now: time.Now}).AddUser(ctx, c.Name, c.Role, password); err != nil {
			return err
		}
		fmt.Fprintf(p.Err, "added %s as %s in %s\n", c.Name, c.Role, c.shown())
		if !c.Generate {
			return nil
		}
		_, err := fmt.Fprintln(p.Out, password)
		return err
	})
}

func (c *userAddCommand) password(ctx context.Context, p *Program) (string, error) {
	if c.Generate {
		return rand.Text(), nil
	}
	return p.newPassword(ctx)
}

package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/store"
)

// newSecret is the flag that says where a password comes from.
type newSecret struct {
	Generate bool `help:"Make a password and print it, this once. Without it the password is read: a line of the standard input."`
}

// choose gives the password; a generated one is printed once told is done without an error.
func (c newSecret) choose(ctx context.Context, p *Program, told func(password string) error) error {
	if !c.Generate {
		password, err := p.newPassword(ctx)
		if err != nil {
			return err
		}
		return told(password)
	}
	password := rand.Text()
	if err := told(password); err != nil {
		return err
	}
	_, err := fmt.Fprintln(p.Out, password)
	return err
}

type userAddCommand struct {
	database
	newSecret
	Name string    `arg:"" help:"The name to sign in with."`
	Role auth.Role `required:"" enum:"${roles}" placeholder:"ROLE" help:"One of ${roles}."`
}

// Run adds the person.
func (c *userAddCommand) Run(ctx context.Context, p *Program) error {
	return c.choose(ctx, p, func(password string) error {
		return c.use(ctx, p.log(), func(s *store.Store) error {
			if err := (auth.Room{Store: s, Now: time.Now}).AddUser(ctx, c.Name, c.Role, password); err != nil {
				return err
			}
			_, err := fmt.Fprintf(p.Err, "added %s as %s in %s\n", c.Name, c.Role, c.shown())
			return err
		})
	})
}

type userPasswordCommand struct {
	database
	newSecret
	Name string `arg:"" help:"The name to sign in with."`
}

// Run changes the password.
func (c *userPasswordCommand) Run(ctx context.Context, p *Program) error {
	return c.choose(ctx, p, func(password string) error {
		return c.useExisting(ctx, p.log(), func(s *store.Store) error {
			if err := (auth.Room{Store: s, Now: time.Now}).SetPassword(ctx, c.Name, password); err != nil {
				return err
			}
			_, err := fmt.Fprintf(p.Err, "%s has another password in %s and is signed out everywhere\n", c.Name, c.shown())
			return err
		})
	})
}

type userRevokeCommand struct {
	database
	Name string `arg:"" help:"The name of whoever has left."`
}

// Run shuts the person out.
func (c *userRevokeCommand) Run(ctx context.Context, p *Program) error {
	return c.useExisting(ctx, p.log(), func(s *store.Store) error {
		if err := (auth.Room{Store: s, Now: time.Now}).Revoke(ctx, c.Name); err != nil {
			return err
		}
		_, err := fmt.Fprintf(p.Err, "%s cannot come in any more in %s; what they did stays in the ledger\n", c.Name, c.shown())
		return err
	})
}

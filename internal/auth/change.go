package auth

import (
	"context"

	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// SetPassword gives somebody another password, for when the old one was forgotten or became known, and signs them out
// everywhere.
func (r Room) SetPassword(ctx context.Context, name, password string) error {
	wrong := checkName(tidy(name))
	checkPassword(&wrong, password)
	if err := wrong.Err(); err != nil {
		return err
	}
	hash, err := hashPassword(ctx, password)
	if err != nil {
		return err
	}
	return r.Store.Tx(ctx, func(tx *store.Store) error {
		return r.setPassword(ctx, tx, name, hash, map[string]any{"password": "changed"})
	})
}

// Revoke shuts somebody out for good: no password, no session and no token of the name is good any more. What they did
// stays theirs.
func (r Room) Revoke(ctx context.Context, name string) error {
	return r.Store.Tx(ctx, func(tx *store.Store) error {
		p, err := tx.PersonByName(ctx, tidy(name))
		if err != nil {
			return err
		}
		if _, err := tx.RevokeTokens(ctx, p.ID, unit.InstantOf(r.Now())); err != nil {
			return err
		}
		return r.setPassword(ctx, tx, name, "", map[string]any{"password": "revoked", "tokens": "revoked"})
	})
}

func (r Room) setPassword(ctx context.Context, tx *store.Store, name, hash string, after map[string]any) error {
	p, err := tx.PersonByName(ctx, tidy(name))
	if err != nil {
		return err
	}
	if err := tx.SetPassword(ctx, p.ID, hash); err != nil {
		return err
	}
	if err := tx.DropSessionsOf(ctx, p.ID); err != nil {
		return err
	}
	return r.note(ctx, tx, p.Name, after)
}

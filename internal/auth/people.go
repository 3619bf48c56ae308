package auth

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// LongestName is how many characters a name has at most.
const LongestName = 60

// operator is who the ledger says acted: people and tokens are added by whoever runs the program, not by somebody signed in.
const operator = "command line"

// Anyone tells whether there is any person with a password.
func (r Room) Anyone(ctx context.Context) (bool, error) { return r.Store.AnyPassword(ctx) }

// AddUser adds somebody who signs in with a password.
func (r Room) AddUser(ctx context.Context, name string, role Role, password string) error {
	name = tidy(name)
	wrong := checkPerson(name, role)
	checkPassword(&wrong, password)
	if err := wrong.Err(); err != nil {
		return err
	}
	hash, err := hashPassword(ctx, password)
	if err != nil {
		return err
	}
	err = r.Store.Tx(ctx, func(tx *store.Store) error {
		_, err := r.add(ctx, tx, name, role, hash)
		return err
	})
	if problem.KindOf(err) == problem.Conflict {
		return problem.New(problem.Conflict, fmt.Sprintf("there is a person %q already", name), "choose another name, for example with an initial")
	}
	return err
}

// AddToken gives a program a token to come with; a new name becomes a person without a password. The token is told
// this once and cannot be read again.
func (r Room) AddToken(ctx context.Context, name string, role Role) (string, error) {
	name = tidy(name)
	if err := checkPerson(name, role).Err(); err != nil {
		return "", err
	}
	token := bearerPrefix + newSecret()
	err := r.Store.Tx(ctx, func(tx *store.Store) error {
		p, err := r.findOrAdd(ctx, tx, name, role)
		if err != nil {
			return err
		}
		one := models.Token{TokenHash: fingerprint(token), PersonID: p.ID, CreatedAt: unit.InstantOf(r.Now())}
		if err := tx.AddToken(ctx, one); err != nil {
			return err
		}
		return r.note(ctx, tx, name, map[string]any{"role": role, "token": "added"})
	})
	if err != nil {
		return "", err
	}
	return token, nil
}

// RevokeTokens ends every token of a name, for when one was lost, and tells how many there were.
func (r Room) RevokeTokens(ctx context.Context, name string) (int64, error) {
	var ended int64
	err := r.Store.Tx(ctx, func(tx *store.Store) error {
		p, err := tx.PersonByName(ctx, tidy(name))
		if err != nil {
			return err
		}
		if ended, err = tx.RevokeTokens(ctx, p.ID, unit.InstantOf(r.Now())); err != nil || ended == 0 {
			return err
		}
		return r.note(ctx, tx, p.Name, map[string]any{"tokens": "revoked", "count": ended})
	})
	return ended, err
}

func (r Room) findOrAdd(ctx context.Context, tx *store.Store, name string, role Role) (models.Person, error) {
	p, err := tx.PersonByName(ctx, name)
	switch {
	case problem.KindOf(err) == problem.Missing:
		return r.add(ctx, tx, name, role, "")
	case err != nil:
		return p, err
	case Role(p.Role) != role:
		return p, problem.New(problem.Conflict, fmt.Sprintf("%q is a %s, not a %s", name, p.Role, role),
			fmt.Sprintf("add the token as %s, or choose another name", p.Role))
	}
	return p, nil
}

func (r Room) add(ctx context.Context, tx *store.Store, name string, role Role, hash string) (models.Person, error) {
	p := models.Person{Name: name, Role: string(role), PasswordHash: hash, CreatedAt: unit.InstantOf(r.Now())}
	if err := tx.AddPerson(ctx, &p); err != nil {
		return p, err
	}
	return p, r.note(ctx, tx, name, map[string]any{"role": role, "password": hash != ""})
}

// note writes what happened to a person into the ledger; no secret and no hash goes there.
func (r Room) note(ctx context.Context, tx *store.Store, name string, after map[string]any) error {
	text, err := json.Marshal(after)
	if err != nil {
		return err
	}
	at := unit.InstantOf(r.Now())
	return tx.Append(ctx, models.Entry{RecordedAt: at, HappenedAt: at, ByName: operator, Kind: "people", Subject: "person:" + name, After: string(text)})
}

// tidy is the one form of a name, whether it is added or signs in.
func tidy(name string) string { return strings.TrimSpace(name) }

func checkPerson(name string, role Role) problem.Fields {
	wrong := checkName(name)
	if !role.Known() {
		wrong.Add("role", fmt.Sprintf("there is no role %q", role), "choose "+list(Roles()))
	}
	return wrong
}

func checkPassword(wrong *problem.Fields, password string) {
	if !longEnough(password) {
		wrong.Add("password", fmt.Sprintf("it has fewer than %d characters", MinPassword), "take a few words that belong to nobody else")
	}
}

func checkName(name string) problem.Fields {
	var wrong problem.Fields
	switch {
	case name == "":
		wrong.Add("name", "it is empty", "write a name")
	case utf8.RuneCountInString(name) > LongestName:
		wrong.Add("name", fmt.Sprintf("it has more than %d characters", LongestName), "write it shorter")
	case !utf8.ValidString(name) || strings.ContainsFunc(name, invisible):
		wrong.Add("name", "it has characters that cannot be seen", "type it again without line breaks and tabs")
	}
	return wrong
}

// invisible tells whether a character would let two names look alike: controls, joiners, blanks other than the space.
func invisible(c rune) bool { return !unicode.IsPrint(c) }

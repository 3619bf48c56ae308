package auth

import (
	"context"
	"time"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// A session ends IdleTime after it was last used, and at the latest LongestTime after the sign-in.
const (
	IdleTime    = 12 * time.Hour
	LongestTime = 7 * 24 * time.Hour
)

// seenEvery is how often the use of a session is written at most.
const seenEvery = time.Minute

// SignIn checks name and password and begins a session. A wrong name and a wrong password look and last the same.
func (r Room) SignIn(ctx context.Context, name, password string) (string, Person, error) {
	p, kept, err := r.passwordOf(ctx, name)
	if err != nil {
		return "", Person{}, err
	}
	fits, err := kept.fits(ctx, password)
	if err != nil {
		return "", Person{}, err
	}
	if !fits || p.ID == 0 {
		return "", Person{}, problem.New(problem.SignedOut, "this name and password do not belong together",
			"check both and sign in again; a supervisor can add you if you are new")
	}
	token := newSecret()
	if err := r.Store.Tx(ctx, func(tx *store.Store) error { return r.begin(ctx, tx, p, token) }); err != nil {
		return "", Person{}, err
	}
	return token, p, nil
}

// passwordOf gives the person and the kept password, or nobody and the decoy.
func (r Room) passwordOf(ctx context.Context, name string) (Person, record, error) {
	name = tidy(name)
	if len(checkName(name)) > 0 {
		return Person{}, decoy, nil
	}
	p, err := r.Store.PersonByName(ctx, name)
	if problem.KindOf(err) == problem.Missing || err == nil && p.PasswordHash == "" {
		return Person{}, decoy, nil
	}
	if err != nil {
		return Person{}, record{}, err
	}
	kept, err := parseRecord(p.PasswordHash)
	return personOf(p), kept, err
}

// begin writes the session and clears away those that have ended.
func (r Room) begin(ctx context.Context, tx *store.Store, p Person, token string) error {
	now := r.Now()
	at := unit.InstantOf(now)
	if err := tx.DropEndedSessions(ctx, at, idleSince(now)); err != nil {
		return err
	}
	return tx.AddSession(ctx, models.Session{TokenHash: fingerprint(token), PersonID: p.ID,
		CreatedAt: at, SeenAt: at, ExpiresAt: unit.InstantOf(now.Add(LongestTime))})
}

// SignOut ends a session; one that has ended already is no failure.
func (r Room) SignOut(ctx context.Context, token string) error {
	return r.Store.Tx(ctx, func(tx *store.Store) error { return tx.DropSession(ctx, fingerprint(token)) })
}

// BySession gives the person of a session that is still good, in one query; its use is written once a minute at most.
func (r Room) BySession(ctx context.Context, token string) (Person, error) {
	now, hash := r.Now(), fingerprint(token)
	at, unseen := unit.InstantOf(now), unit.InstantOf(now.Add(-seenEvery))
	p, seen, err := r.Store.SessionPerson(ctx, hash, at, idleSince(now))
	if err != nil {
		return Person{}, err
	}
	if seen <= unseen {
		err = r.Store.Tx(ctx, func(tx *store.Store) error { return tx.SeeSession(ctx, hash, at, unseen) })
	}
	return personOf(p), err
}

// ByBearer gives the person of a program's token.
func (r Room) ByBearer(ctx context.Context, token string) (Person, error) {
	if !isBearer(token) {
		return Person{}, problem.New(problem.SignedOut, "this is not a token of spanroom", "send the token that was printed when it was added; it begins with "+bearerPrefix)
	}
	p, err := r.Store.TokenPerson(ctx, fingerprint(token))
	if problem.KindOf(err) == problem.SignedOut {
		return Person{}, problem.New(problem.SignedOut, "this token is not known, or was revoked", "ask a supervisor for a new one")
	}
	return personOf(p), err
}

func idleSince(now time.Time) unit.Instant { return unit.InstantOf(now.Add(-IdleTime)) }

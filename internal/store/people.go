package store

import (
	"context"
	"database/sql"
	"errors"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// PersonByName finds a person by the exact name.
func (s *Store) PersonByName(ctx context.Context, name string) (models.Person, error) {
	var p models.Person
	err := s.db(ctx).Where("name = ?", name).Take(&p).Error
	return p, found(err, "person", name)
}

// AnyPassword tells whether anybody can sign in with a password.
func (s *Store) AnyPassword(ctx context.Context) (bool, error) {
	var any bool
	err := s.db(ctx).Raw("SELECT EXISTS (SELECT 1 FROM people WHERE password_hash <> '')").Row().Scan(&any)
	return any, err
}

// AddPerson writes a new person and fills in the id.
func (s *Store) AddPerson(ctx context.Context, p *models.Person) error {
	return s.db(ctx).Create(p).Error
}

// SetPassword changes the password hash of a person; "" is no password.
func (s *Store) SetPassword(ctx context.Context, personID int64, hash string) error {
	return s.db(ctx).Exec("UPDATE people SET password_hash = ? WHERE id = ?", hash, personID).Error
}

// AddSession writes a new session.
func (s *Store) AddSession(ctx context.Context, one models.Session) error {
	return s.db(ctx).Create(&one).Error
}

// SessionPerson gives the person of a session that is still good, without the password hash, and when it was last seen.
// A session is good while its end lies after now and it was seen after idleSince.
func (s *Store) SessionPerson(ctx context.Context, tokenHash string, now, idleSince unit.Instant) (models.Person, unit.Instant, error) {
	var p models.Person
	var seen unit.Instant
	err := s.db(ctx).Raw(`SELECT p.id, p.name, p.role, s.seen_at FROM sessions s JOIN people p ON p.id = s.person_id
		WHERE s.token_hash = ? AND s.expires_at > ? AND s.seen_at > ?`, tokenHash, now, idleSince).
		Row().Scan(&p.ID, &p.Name, &p.Role, &seen)
	return p, seen, signedIn(err)
}

// SeeSession notes that a session was used, unless it was noted after unseenSince already.
func (s *Store) SeeSession(ctx context.Context, tokenHash string, now, unseenSince unit.Instant) error {
	return s.db(ctx).Exec("UPDATE sessions SET seen_at = ? WHERE token_hash = ? AND seen_at <= ?", now, tokenHash, unseenSince).Error
}

// DropSession ends a session; one that has ended already stays so.
func (s *Store) DropSession(ctx context.Context, tokenHash string) error {
	return s.db(ctx).Exec("DELETE FROM sessions WHERE token_hash = ?", tokenHash).Error
}

// DropSessionsOf ends every session of a person.
func (s *Store) DropSessionsOf(ctx context.Context, personID int64) error {
	return s.db(ctx).Exec("DELETE FROM sessions WHERE person_id = ?", personID).Error
}

// DropEndedSessions clears away the sessions that SessionPerson no longer finds at these moments.
func (s *Store) DropEndedSessions(ctx context.Context, now, idleSince unit.Instant) error {
	return s.db(ctx).Exec("DELETE FROM sessions WHERE expires_at <= ? OR seen_at <= ?", now, idleSince).Error
}

// AddToken writes a new token.
func (s *Store) AddToken(ctx context.Context, one models.Token) error {
	return s.db(ctx).Create(&one).Error
}

// TokenPerson gives the person of a token that is not revoked, without the password hash.
func (s *Store) TokenPerson(ctx context.Context, tokenHash string) (models.Person, error) {
	var p models.Person
	err := s.db(ctx).Raw(`SELECT p.id, p.name, p.role FROM tokens t JOIN people p ON p.id = t.person_id
		WHERE t.token_hash = ? AND t.revoked_at = 0`, tokenHash).
		Row().Scan(&p.ID, &p.Name, &p.Role)
	return p, signedIn(err)
}

// RevokeTokens ends all tokens of a person and tells how many there were.
func (s *Store) RevokeTokens(ctx context.Context, personID int64, now unit.Instant) (int64, error) {
	res := s.db(ctx).Exec("UPDATE tokens SET revoked_at = ? WHERE person_id = ? AND revoked_at = 0", now, personID)
	return res.RowsAffected, res.Error
}

// signedIn turns "no such row" into the problem of one whose session or token is not good; it names no secret.
func signedIn(err error) error {
	if errors.Is(err, sql.ErrNoRows) {
		return problem.New(problem.SignedOut, "nobody is signed in, or the sign-in has ended", "sign in again")
	}
	return err
}

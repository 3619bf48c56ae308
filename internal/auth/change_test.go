package auth_test

import (
	"testing"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
)

// A new password ends what the old one began, and nothing of anybody else.
func TestSetPassword(t *testing.T) {
	const another = "four green gauges"
	each(t, func(t *testing.T, r auth.Room, _ *clock) {
		must(t, r.AddUser(t.Context(), "Bo", auth.Clerk, password))
		adas, _, err := r.SignIn(t.Context(), "Ada", password)
		must(t, err)
		bos, _, err := r.SignIn(t.Context(), "Bo", password)
		must(t, err)
		must(t, r.SetPassword(t.Context(), " Ada ", another))
		_, err = r.BySession(t.Context(), adas)
		wantKind(t, err, problem.SignedOut)
		_, _, err = r.SignIn(t.Context(), "Ada", password)
		wantKind(t, err, problem.SignedOut)
		_, _, err = r.SignIn(t.Context(), "Ada", another)
		must(t, err)
		_, err = r.BySession(t.Context(), bos)
		must(t, err)

		wantKind(t, r.SetPassword(t.Context(), "Ada", "short"), problem.Invalid)
		wantKind(t, r.SetPassword(t.Context(), "Nobody", another), problem.Missing)
		if v, err := r.Store.Verify(t.Context()); err != nil || !v.Sound() || v.Entries != 3 {
			t.Errorf("%+v, %v", v, err)
		}
	})
}

// Whoever is revoked comes in by no door, until somebody lets them in again.
func TestRevoke(t *testing.T) {
	each(t, func(t *testing.T, r auth.Room, _ *clock) {
		session, _, err := r.SignIn(t.Context(), "Ada", password)
		must(t, err)
		token, err := r.AddToken(t.Context(), "Ada", auth.Clerk)
		must(t, err)
		must(t, r.Revoke(t.Context(), "Ada"))
		_, err = r.BySession(t.Context(), session)
		wantKind(t, err, problem.SignedOut)
		_, err = r.ByBearer(t.Context(), token)
		wantKind(t, err, problem.SignedOut)
		_, _, err = r.SignIn(t.Context(), "Ada", password)
		wantKind(t, err, problem.SignedOut)
		wantKind(t, r.Revoke(t.Context(), "Nobody"), problem.Missing)

		must(t, r.SetPassword(t.Context(), "Ada", password))
		_, p, err := r.SignIn(t.Context(), "Ada", password)
		if err != nil || p.Role != auth.Clerk {
			t.Errorf("%+v, %v", p, err)
		}
	})
}

package auth_test

import (
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store/storetest"
)

func TestSignInAndOut(t *testing.T) {
	each(t, func(t *testing.T, r auth.Room, _ *clock) {
		first, p, err := r.SignIn(t.Context(), "Ada", password)
		must(t, err)
		second, _, err := r.SignIn(t.Context(), " Ada ", password)
		must(t, err)
		if first == second || p.ID == 0 || p.Name != "Ada" || p.Role != auth.Clerk {
			t.Errorf("signed in as %+v", p)
		}
		if got, err := r.BySession(t.Context(), first); got != p || err != nil {
			t.Errorf("by session %+v, %v, want %+v", got, err, p)
		}
		must(t, r.SignOut(t.Context(), first))
		must(t, r.SignOut(t.Context(), first))
		_, err = r.BySession(t.Context(), first)
		wantKind(t, err, problem.SignedOut)
		if _, err := r.BySession(t.Context(), second); err != nil {
			t.Errorf("the other session ended too: %v", err)
		}
	})
}

func TestWrongNameAndWrongPasswordLookTheSame(t *testing.T) {
	each(t, func(t *testing.T, r auth.Room, _ *clock) {
		_, err := r.AddToken(t.Context(), "counter", auth.Viewer)
		must(t, err)
		tests := []struct{ name, password string }{
			{"Ada", password + "."}, {"Ada", ""}, {"ada", password}, {"nobody", password}, {"", ""}, {"counter", ""}, {"Ada\x00", password}, {"\xff", password},
		}
		var first *problem.Error
		for _, tt := range tests {
			token, p, err := r.SignIn(t.Context(), tt.name, tt.password)
			got := wantKind(t, err, problem.SignedOut)
			if first == nil {
				first = got
			}
			if got.Detail != first.Detail || got.Advice != first.Advice || token != "" || p != (auth.Person{}) {
				t.Errorf("%q with %q: %v, token %q, person %+v", tt.name, tt.password, got, token, p)
			}
		}
	})
}

// Without the decoy a wrong name answers a hundred times sooner; the least of some runs leaves the noise out.
func TestUnknownNameTakesAsLong(t *testing.T) {
	r, _ := room(storetest.New(t))
	must(t, r.AddUser(t.Context(), "Ada", auth.Clerk, password))
	known, unknown := time.Hour, time.Hour
	for range 5 {
		known = min(known, signInTakes(t, r, "Ada"))
		unknown = min(unknown, signInTakes(t, r, "nobody"))
	}
	if unknown < known/4 {
		t.Errorf("a wrong password takes %v, a wrong name %v", known, unknown)
	}
}

func signInTakes(t *testing.T, r auth.Room, name string) time.Duration {
	t.Helper()
	start := time.Now()
	_, _, err := r.SignIn(t.Context(), name, "not the password")
	took := time.Since(start)
	wantKind(t, err, problem.SignedOut)
	return took
}

func TestSessionEndsWhenIdle(t *testing.T) {
	each(t, func(t *testing.T, r auth.Room, c *clock) {
		token, _, err := r.SignIn(t.Context(), "Ada", password)
		must(t, err)
		c.now = c.now.Add(auth.IdleTime - time.Millisecond)
		_, err = r.BySession(t.Context(), token)
		must(t, err) // and it counts as seen from here
		c.now = c.now.Add(auth.IdleTime - time.Millisecond)
		_, err = r.BySession(t.Context(), token)
		must(t, err)
		c.now = c.now.Add(auth.IdleTime)
		_, err = r.BySession(t.Context(), token)
		wantKind(t, err, problem.SignedOut)
	})
}

func TestSessionEndsAfterAWeekOfUse(t *testing.T) {
	each(t, func(t *testing.T, r auth.Room, c *clock) {
		token, _, err := r.SignIn(t.Context(), "Ada", password)
		must(t, err)
		end := c.now.Add(auth.LongestTime)
		for c.now = c.now.Add(time.Hour); c.now.Before(end); c.now = c.now.Add(time.Hour) {
			if _, err := r.BySession(t.Context(), token); err != nil {
				t.Fatalf("%v before its end: %v", end.Sub(c.now), err)
			}
		}
		_, err = r.BySession(t.Context(), token)
		wantKind(t, err, problem.SignedOut)
	})
}

// Use within a minute of the last note is not written, so idling is counted from the note.
func TestUseIsWrittenOnceAMinute(t *testing.T) {
	each(t, func(t *testing.T, r auth.Room, c *clock) {
		token, _, err := r.SignIn(t.Context(), "Ada", password)
		must(t, err)
		signedIn := c.now
		c.now = signedIn.Add(59 * time.Second)
		_, err = r.BySession(t.Context(), token)
		must(t, err)
		c.now = signedIn.Add(auth.IdleTime)
		_, err = r.BySession(t.Context(), token)
		wantKind(t, err, problem.SignedOut)
	})
}

func BenchmarkBySession(b *testing.B) {
	r, _ := room(storetest.New(b))
	if err := r.AddUser(b.Context(), "Ada", auth.Clerk, password); err != nil {
		b.Fatal(err)
	}
	token, _, err := r.SignIn(b.Context(), "Ada", password)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := r.BySession(b.Context(), token); err != nil {
			b.Fatal(err)
		}
	}
}

package auth_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

const password = "three blue regulators"

// clock is a time that tests move by hand.
type clock struct{ now time.Time }

func (c *clock) Now() time.Time { return c.now }

func room(s *store.Store) (auth.Room, *clock) {
	c := &clock{now: time.Date(2027, 3, 3, 8, 0, 0, 0, time.UTC)}
	return auth.Room{Store: s, Now: c.Now}, c
}

// each gives the test a room with the clerk Ada in it, on every database.
func each(t *testing.T, test func(t *testing.T, r auth.Room, c *clock)) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r, c := room(s)
		must(t, r.AddUser(t.Context(), "Ada", auth.Clerk, password))
		test(t, r, c)
	})
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func wantKind(t *testing.T, err error, kind problem.Kind) *problem.Error {
	t.Helper()
	var p *problem.Error
	if !errors.As(err, &p) || p.Kind != kind || p.Advice == "" {
		t.Fatalf("got %v, want %s with advice", err, kind)
	}
	return p
}

func TestAnyone(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r, _ := room(s)
		want := func(want bool) {
			t.Helper()
			if got, err := r.Anyone(t.Context()); got != want || err != nil {
				t.Fatalf("anyone: %v, %v", got, err)
			}
		}
		want(false)
		_, err := r.AddToken(t.Context(), "counter", auth.Viewer)
		must(t, err)
		want(false) // a program cannot sign in
		must(t, r.AddUser(t.Context(), "Ada", auth.Clerk, password))
		want(true)
	})
}

func TestAddUserTellsAllThatIsWrong(t *testing.T) {
	r, _ := room(storetest.New(t))
	tests := []struct {
		name     string
		role     auth.Role
		password string
		fields   string
	}{
		{"", "", "", "name role password"},
		{"  ", auth.Clerk, password, "name"},
		{strings.Repeat("é", auth.LongestName+1), auth.Clerk, password, "name"},
		{"Ada\nBo", auth.Clerk, password, "name"},
		{"Ada\u202eBo", auth.Clerk, password, "name"},
		{"Ada\x00", auth.Clerk, password, "name"},
		{"Ada\xff", auth.Clerk, password, "name"},
		{"Ada", "boss", password, "role"},
		{"Ada", auth.Clerk, "short one", "password"},
	}
	for _, tt := range tests {
		p := wantKind(t, r.AddUser(t.Context(), tt.name, tt.role, tt.password), problem.Invalid)
		var fields []string
		for _, f := range p.Fields {
			fields = append(fields, f.Name)
		}
		if got := strings.Join(fields, " "); got != tt.fields {
			t.Errorf("%q as %q: wrong are %q, want %q", tt.name, tt.role, got, tt.fields)
		}
	}
	if got, _ := r.Anyone(t.Context()); got {
		t.Error("a refused person was added")
	}
}

func TestAddUserKeepsNamesApart(t *testing.T) {
	each(t, func(t *testing.T, r auth.Room, _ *clock) {
		wantKind(t, r.AddUser(t.Context(), " Ada ", auth.Viewer, password), problem.Conflict)
		longest := strings.Repeat("é", auth.LongestName)
		must(t, r.AddUser(t.Context(), longest, auth.Viewer, password))
		_, p, err := r.SignIn(t.Context(), longest, password)
		if err != nil || p.Role != auth.Viewer || p.Name != longest {
			t.Errorf("the longest name signs in as %+v: %v", p, err)
		}
		_, p, err = r.SignIn(t.Context(), "Ada", password)
		if err != nil || p.Role != auth.Clerk {
			t.Errorf("Ada is %+v: %v", p, err)
		}
	})
}

func TestTokens(t *testing.T) {
	each(t, func(t *testing.T, r auth.Room, _ *clock) {
		first, err := r.AddToken(t.Context(), "counter", auth.Technician)
		must(t, err)
		second, err := r.AddToken(t.Context(), "counter", auth.Technician)
		must(t, err)
		ofAda, err := r.AddToken(t.Context(), "Ada", auth.Clerk)
		must(t, err)
		a, err := r.ByBearer(t.Context(), first)
		must(t, err)
		b, err := r.ByBearer(t.Context(), second)
		must(t, err)
		if first == second || !strings.HasPrefix(first, "srt_") || a != b || a.Name != "counter" || a.Role != auth.Technician {
			t.Errorf("the tokens of one program: %+v and %+v", a, b)
		}
		for _, bad := range []string{"", "srt_", first + "A", strings.TrimPrefix(first, "srt_")} {
			_, err := r.ByBearer(t.Context(), bad)
			wantKind(t, err, problem.SignedOut)
		}
		ended, err := r.RevokeTokens(t.Context(), "counter")
		if ended != 2 || err != nil {
			t.Errorf("revoked %d: %v", ended, err)
		}
		_, err = r.ByBearer(t.Context(), first)
		wantKind(t, err, problem.SignedOut)
		if p, err := r.ByBearer(t.Context(), ofAda); err != nil || p.Name != "Ada" {
			t.Errorf("the token of another: %+v, %v", p, err)
		}
		_, err = r.RevokeTokens(t.Context(), "nobody")
		wantKind(t, err, problem.Missing)
	})
}

func TestAddTokenKeepsTheRole(t *testing.T) {
	each(t, func(t *testing.T, r auth.Room, _ *clock) {
		token, err := r.AddToken(t.Context(), "Ada", auth.Supervisor)
		if p := wantKind(t, err, problem.Conflict); token != "" || p.Detail != `"Ada" is a clerk, not a supervisor` {
			t.Errorf("token %q, %s", token, p.Detail)
		}
		_, err = r.AddToken(t.Context(), "", auth.Clerk)
		wantKind(t, err, problem.Invalid)
	})
}

func TestPeopleAreInTheLedger(t *testing.T) {
	each(t, func(t *testing.T, r auth.Room, _ *clock) {
		_, err := r.AddToken(t.Context(), "counter", auth.Viewer)
		must(t, err)
		_, err = r.RevokeTokens(t.Context(), "counter")
		must(t, err)
		entries, err := r.Store.Entries(t.Context(), 0, 100)
		must(t, err)
		var lines []string
		for _, e := range entries {
			if e.Kind != "people" {
				t.Errorf("entry %d is of kind %q", e.Seq, e.Kind)
			}
			lines = append(lines, e.Subject+" "+e.After)
		}
		want := []string{
			`person:Ada {"password":true,"role":"clerk"}`,
			`person:counter {"password":false,"role":"viewer"}`,
			`person:counter {"role":"viewer","token":"added"}`,
			`person:counter {"count":1,"tokens":"revoked"}`,
		}
		if got := strings.Join(lines, "\n"); got != strings.Join(want, "\n") {
			t.Errorf("the ledger says\n%s", got)
		}
	})
}

// Whatever is given out in the clear is in no file of the database, while the name beside it is.
func TestSecretsAreNeverInTheDatabase(t *testing.T) {
	dir := t.TempDir()
	s, err := store.Open(t.Context(), filepath.Join(dir, "test.db"), store.Options{})
	must(t, err)
	defer func() { must(t, s.Close()) }()
	r, _ := room(s)
	must(t, r.AddUser(t.Context(), "Ada", auth.Clerk, password))
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.StringMatching(`[a-z]{12}`).Draw(rt, "name")
		var secrets []string
		for range rapid.IntRange(1, 3).Draw(rt, "tokens") {
			token, err := r.AddToken(t.Context(), name, auth.Viewer)
			if err != nil {
				rt.Fatal(err)
			}
			secrets = append(secrets, token, strings.TrimPrefix(token, "srt_"))
		}
		noneIn(rt, dir, name, secrets)
	})
	token, _, err := r.SignIn(t.Context(), "Ada", password)
	must(t, err)
	noneIn(t, dir, "Ada", []string{password, token, auth.CSRF(token)})
}

func noneIn(t rapid.TB, dir, name string, secrets []string) {
	files, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(raw)
	}
	if !strings.Contains(all.String(), "person:"+name) {
		t.Fatalf("the name %s is not in the files of the database either", name)
	}
	for _, secret := range secrets {
		if strings.Contains(all.String(), secret) {
			t.Fatalf("%s is in the database in the clear", secret)
		}
	}
}

func TestActIsTheSameRequestByItsKey(t *testing.T) {
	act := auth.Act{By: auth.Person{ID: 7}, Request: "r-1", Key: "k", Hash: "h"}
	if got := act.Once(); got != (store.Key{Person: 7, Key: "k", Hash: "h"}) {
		t.Errorf("kept under %+v", got)
	}
}

func TestACancelledRequestSignsNobodyIn(t *testing.T) {
	r, _ := room(storetest.New(t))
	must(t, r.AddUser(t.Context(), "Ada", auth.Clerk, password))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if token, _, err := r.SignIn(ctx, "Ada", password); !errors.Is(err, context.Canceled) || token != "" {
		t.Errorf("token %q, %v", token, err)
	}
}

package main

import (
	"context"
	"io"
	"strings"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/store/storetest"
)

// canSignIn tells whether a name and a password belong together in a database file.
func canSignIn(t *testing.T, db, name, password string) bool {
	t.Helper()
	people := auth.Room{Store: storetest.Open(t, db), Now: time.Now}
	_, _, err := people.SignIn(t.Context(), name, password)
	return err == nil
}

func TestUserAdd(t *testing.T) {
	db := newFile(t, "store.db")
	r := runWith(t, " four words, and blanks \r\nnot this\n", "user", "add", "Ida Moor", "--role", "supervisor", "--db", db)
	if r.code != done || r.out != "" || r.err != "added Ida Moor as supervisor in "+db+"\n" {
		t.Fatalf("%+v", r)
	}
	if !canSignIn(t, db, "Ida Moor", " four words, and blanks ") {
		t.Error("the password that was read does not fit")
	}
}

func TestUserAddGenerates(t *testing.T) {
	db := newFile(t, "store.db")
	one := must(t, "user", "add", "Ida", "--role", "clerk", "--db", db, "--generate").out
	two := must(t, "user", "add", "Bo", "--role", "viewer", "--db", db, "--generate").out
	if one == two || len(one) < 20 {
		t.Errorf("%q and %q", one, two)
	}
	if !canSignIn(t, db, "Ida", strings.TrimSpace(one)) {
		t.Error("the password that was printed does not fit")
	}
}

func TestUserAddRefusals(t *testing.T) {
	db := newFile(t, "store.db")
	must(t, "user", "add", "Ida", "--role", "clerk", "--db", db, "--generate")
	for _, c := range []struct {
		name, in, person, words string
	}{
		{"short password", "short\n", "Bo", "password: it has fewer than 10 characters; take"},
		{"no password", "", "Bo", "--generate"},
		{"name taken", "a long password\n", "Ida", `"Ida" already; choose another name`},
		{"blank name", "a long password\n", "  ", "name: it is empty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			refused(t, runWith(t, c.in, "user", "add", c.person, "--role", "clerk", "--db", db), failed, c.words)
		})
	}
}

func TestUserPasswordAndRevoke(t *testing.T) {
	db := newFile(t, "store.db")
	old := strings.TrimSpace(must(t, "user", "add", "Ida", "--role", "clerk", "--db", db, "--generate").out)
	if r := runWith(t, "five words that nobody has\n", "user", "password", "Ida", "--db", db); r.code != done || r.out != "" {
		t.Fatalf("%+v", r)
	}
	if canSignIn(t, db, "Ida", old) || !canSignIn(t, db, "Ida", "five words that nobody has") {
		t.Error("the old password is good, or the new one is not")
	}
	made := strings.TrimSpace(must(t, "user", "password", "Ida", "--db", db, "--generate").out)
	if !canSignIn(t, db, "Ida", made) {
		t.Error("the password that was printed does not fit")
	}
	must(t, "user", "revoke", "Ida", "--db", db)
	if canSignIn(t, db, "Ida", made) {
		t.Error("Ida comes in after all")
	}
	for _, command := range []string{"password", "revoke"} {
		args := []string{"user", command, "Bo", "--db", db}
		refused(t, runWith(t, "five words that nobody has\n", args...), failed, `no person "Bo"`)
		args[4] = newFile(t, "typo.db")
		refused(t, runWith(t, "five words that nobody has\n", args...), failed, "no database at")
	}
}

// The prompt of a terminal gives up when the program is told to end, although nobody types.
func TestPasswordPromptEnds(t *testing.T) {
	in, _ := io.Pipe()
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Millisecond)
	defer cancel()
	var said strings.Builder
	p := &Program{In: in, Out: io.Discard, Err: &said}
	if code := p.Run(ctx, []string{"user", "add", "Ida", "--role", "clerk", "--db", newFile(t, "x.db")}); code != failed {
		t.Errorf("code %d: %s", code, said.String())
	}
}

func TestTokenAdd(t *testing.T) {
	db := newFile(t, "store.db")
	token := strings.TrimSpace(must(t, "token", "add", "till", "--role", "clerk", "--db", db).out)
	refused(t, run(t, "token", "add", "till", "--role", "viewer", "--db", db), failed, `"till" is a clerk`, "add the token as clerk")
	people := auth.Room{Store: storetest.Open(t, db), Now: time.Now}
	who, err := people.ByBearer(t.Context(), token)
	if err != nil || who.Name != "till" || who.Role != auth.Clerk {
		t.Errorf("%+v, %v", who, err)
	}
	if out := must(t, "token", "revoke", "till", "--db", db).out; out != "1 ended for till\n" {
		t.Errorf("revoking says %q", out)
	}
	if _, err := people.ByBearer(t.Context(), token); err == nil {
		t.Error("the token is good after it was revoked")
	}
}

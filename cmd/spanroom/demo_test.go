package main

import (
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/store/storetest"
)

func TestDemo(t *testing.T) {
	temporary := t.TempDir()
	t.Setenv("TMPDIR", temporary)
	server := start(t, "demo", "--listen", "127.0.0.1:0", "--on", "2027-03-03")
	if status, _ := get(t, server.url+"/readyz", ""); status != http.StatusOK {
		t.Errorf("ready: %d", status)
	}
	if left := filesIn(t, temporary); len(left) == 0 {
		t.Error("the temporary file is elsewhere")
	}
	r := server.stop()
	if r.code != done || !strings.Contains(r.out, "its date is 3 Mar 2027\n") {
		t.Errorf("code %d\n%s%s", r.code, r.out, r.err)
	}
	if left := filesIn(t, temporary); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

func filesIn(t *testing.T, dir string) []string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(dir, "spanroom-demo-*"))
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// A demo in a named file stays, and the sign-ins that were printed are good.
func TestDemoKept(t *testing.T) {
	db := newFile(t, "demo.db")
	r := start(t, "demo", "--listen", "127.0.0.1:0", "--db", db).stop()
	if r.code != done {
		t.Fatalf("code %d\n%s", r.code, r.err)
	}
	must(t, "verify", "--db", db)
	people := auth.Room{Store: storetest.Open(t, db), Now: time.Now}
	rows := regexp.MustCompile(`(?m)^(.+?) {2,}(\w+) +(\S.*)$`).FindAllStringSubmatch(r.out, -1)
	if len(rows) < 2 {
		t.Fatalf("no sign-ins in\n%s", r.out)
	}
	for _, row := range rows[1:] {
		_, who, err := people.SignIn(t.Context(), row[1], row[3])
		if err != nil || string(who.Role) != row[2] {
			t.Errorf("%q as %s: %+v, %v", row[1], row[2], who, err)
		}
	}
}

func TestDemoKeepsAwayFromFiles(t *testing.T) {
	db := newFile(t, "mine.db")
	if err := os.WriteFile(db, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	refused(t, run(t, "demo", "--listen", "127.0.0.1:0", "--db", db), failed, db+" exists already; choose a new name")
	if text, err := os.ReadFile(db); err != nil || string(text) != "mine" {
		t.Errorf("%q, %v", text, err)
	}
}

func TestDemoBegins(t *testing.T) {
	for on, want := range map[string]string{"2027-03-03": "2027-03-03T12:00:00Z", "5 Apr 2027": "2027-04-05T12:00:00Z"} {
		got, err := (&demoCommand{On: on}).now()
		if err != nil || got.Format(time.RFC3339) != want {
			t.Errorf("%s: %v, %v", on, got, err)
		}
	}
	if got, err := (&demoCommand{}).now(); err != nil || time.Since(got) > time.Minute {
		t.Errorf("without --on: %v, %v", got, err)
	}
}

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"spanroom/internal/problem"
)

func TestWrongUse(t *testing.T) {
	for _, c := range []struct {
		name  string
		args  []string
		words []string
	}{
		{"nothing", nil, []string{"serve", "see spanroom --help"}},
		{"unknown command", []string{"sell"}, []string{"sell", "see spanroom --help"}},
		{"no import yet", []string{"import", "x.xlsx"}, []string{"argument import"}},
		{"unknown flag", []string{"serve", "--db", "x.db", "--colour"}, []string{"--colour", "see spanroom serve --help"}},
		{"no database", []string{"serve"}, []string{"--db=FILE|postgres://"}},
		{"unknown role", []string{"user", "add", "Ida", "--role", "boss", "--db", "x.db"}, []string{"--role", "clerk", "boss", "see spanroom user add --help"}},
		{"no role", []string{"token", "add", "till", "--db", "x.db"}, []string{"--role", "see spanroom token add --help"}},
		{"no name", []string{"user", "add", "--role", "clerk", "--db", "x.db"}, []string{"<name>"}},
		{"no file", []string{"backup", "--db", "x.db"}, []string{"<file>"}},
		{"proxy by name", []string{"serve", "--db", "x.db", "--proxy", "10.0.0.1", "--proxy", "gate"}, []string{`"gate"`, "10.0.0.0/8"}},
		{"views that are not there", []string{"serve", "--db", "x.db", "--views", "nowhere"}, []string{"nowhere"}},
		{"demo on no day", []string{"demo", "--on", "2027-02-30"}, []string{"2027-02", "30"}},
		{"demo on a server", []string{"demo", "--db", "postgres://localhost/x"}, []string{"PostgreSQL", "--db"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			r := run(t, c.args...)
			refused(t, r, misused, c.words...)
			if r.out != "" {
				t.Errorf("on standard output: %q", r.out)
			}
		})
	}
}

func TestFlagsFromTheEnvironment(t *testing.T) {
	t.Setenv("SPANROOM_DB", newFile(t, "store.db"))
	t.Setenv("SPANROOM_ROLE", "clerk")
	if r := must(t, "token", "add", "till"); !strings.Contains(r.err, "till as clerk") {
		t.Errorf("the environment was not used: %q", r.err)
	}
	if r := must(t, "token", "add", "gate", "--role", "viewer"); !strings.Contains(r.err, "gate as viewer") {
		t.Errorf("the command line does not win: %q", r.err)
	}
}

func TestEveryFlagHasAVariable(t *testing.T) {
	for command, variables := range map[string][]string{
		"serve":    {"DB", "LISTEN", "SECURE", "PROXY", "VIEWS"},
		"demo":     {"DB", "LISTEN", "ON"},
		"user add": {"DB", "ROLE", "GENERATE"},
		"reorder":  {"DB", "OUT"},
	} {
		help := must(t, append(strings.Fields(command), "--help")...).out
		for _, variable := range variables {
			if !strings.Contains(help, "$SPANROOM_"+variable) {
				t.Errorf("%s: no variable for %s in\n%s", command, variable, help)
			}
		}
	}
}

func TestHelpListsTheCommandsThatAre(t *testing.T) {
	help := must(t, "--help").out
	for _, command := range []string{"serve", "demo", "user add", "token add", "backup", "restore", "verify", "reorder", "version"} {
		if !strings.Contains(help, "\n  "+command+" ") {
			t.Errorf("no %s in\n%s", command, help)
		}
	}
	if strings.Contains(help, "import") {
		t.Error("import is listed before it is there")
	}
}

func TestExplain(t *testing.T) {
	var fields problem.Fields
	fields.Add("name", "it is empty", "write a name")
	fields.Add("role", `there is no role "x"`, "")
	for _, c := range []struct {
		err  error
		want string
	}{
		{errors.New("disk full"), "disk full"},
		{errors.Join(errors.New("one"), errors.New("two")), "one; two"},
		{errors.New("no server:\n\tat one: closed\n\tat two: closed\n"), "no server: at one: closed; at two: closed"},
		{fmt.Errorf("copying: %w", context.Canceled), "stopped before it was done; run it again"},
		{problem.New(problem.Missing, "there is nothing", "look elsewhere"), "there is nothing; look elsewhere"},
		{fields.Err(), `name: it is empty; write a name; role: there is no role "x"`},
		{errors.Join(problem.New(problem.Conflict, "it is taken", "choose another"), errors.New("UNIQUE failed")), "it is taken; choose another"},
	} {
		if got := explain(c.err); got != c.want {
			t.Errorf("explain(%v) = %q, want %q", c.err, got, c.want)
		}
	}
}

// An output that is gone is told, not passed over.
func TestBrokenOutput(t *testing.T) {
	var said bytes.Buffer
	p := &Program{In: strings.NewReader(""), Out: brokenPipe{}, Err: &said}
	if code := p.Run(t.Context(), []string{"version"}); code != failed || !strings.Contains(said.String(), "pipe is broken") {
		t.Errorf("code %d, %q", code, said.String())
	}
}

type brokenPipe struct{}

func (brokenPipe) Write([]byte) (int, error) { return 0, errors.New("the pipe is broken") }

package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"
)

// TestMain keeps the flags of whoever runs the tests out of them.
func TestMain(m *testing.M) {
	for _, setting := range os.Environ() {
		if name, _, _ := strings.Cut(setting, "="); strings.HasPrefix(name, "SPANROOM_") && !strings.HasPrefix(name, "SPANROOM_TEST_") {
			os.Unsetenv(name)
		}
	}
	os.Exit(m.Run())
}

// result is what a run left behind.
type result struct {
	code     int
	out, err string
}

// run does one command to its end.
func run(t *testing.T, args ...string) result {
	t.Helper()
	return runWith(t, "", args...)
}

// patience is how long a program may take to start or to end before a test gives up: under the race detector, beside all other
// tests, the demo's year takes long.
const patience = 3 * time.Minute

func runWith(t *testing.T, in string, args ...string) result {
	t.Helper()
	var out, err bytes.Buffer
	p := &Program{In: strings.NewReader(in), Out: &out, Err: &err}
	code := p.Run(t.Context(), args)
	return result{code, out.String(), err.String()}
}

// must is run for a command that has to work.
func must(t *testing.T, args ...string) result {
	t.Helper()
	r := run(t, args...)
	if r.code != done {
		t.Fatalf("spanroom %s: code %d\n%s%s", strings.Join(args, " "), r.code, r.out, r.err)
	}
	return r
}

// refused checks that a command ended with a code and one line on the error output that has these words.
func refused(t *testing.T, r result, code int, words ...string) {
	t.Helper()
	if r.code != code {
		t.Errorf("code %d, want %d\n%s%s", r.code, code, r.out, r.err)
	}
	if !strings.HasPrefix(r.err, "spanroom: ") || strings.Count(r.err, "\n") != 1 {
		t.Errorf("not one line: %q", r.err)
	}
	for _, word := range words {
		if !strings.Contains(r.err, word) {
			t.Errorf("%q does not say %q", r.err, word)
		}
	}
}

// running is a server in this process.
type running struct {
	url  string
	stop func() result
}

// start begins a server and waits until it says where it listens. The test ends it at the latest.
func start(t *testing.T, args ...string) running {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	out, log := &console{address: make(chan string, 1)}, &console{}
	ended := make(chan int, 1)
	go func() { ended <- (&Program{In: strings.NewReader(""), Out: out, Err: log}).Run(ctx, args) }()
	stop := sync.OnceValue(func() result {
		cancel()
		select {
		case code := <-ended:
			return result{code, out.String(), log.String()}
		case <-time.After(patience):
			t.Error("the server does not end")
			return result{}
		}
	})
	t.Cleanup(func() { stop() })
	select {
	case url := <-out.address:
		return running{url, stop}
	case code := <-ended:
		t.Fatalf("the server did not begin: code %d\n%s", code, log)
	case <-time.After(patience):
		t.Fatalf("the server does not say where it listens\n%s", log)
	}
	return running{}
}

// console keeps what is written to it, by several goroutines, and gives the first address of a server in it.
type console struct {
	mu      sync.Mutex
	text    strings.Builder
	address chan string
}

var address = regexp.MustCompile(`http://\S+`)

func (c *console) Write(p []byte) (int, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if url := address.FindString(string(p)); url != "" {
		select {
		case c.address <- url:
		default: // nobody asks, or it is known
		}
	}
	return c.text.Write(p)
}

func (c *console) String() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.text.String()
}

func newFile(t *testing.T, name string) string { return filepath.Join(t.TempDir(), name) }

package main

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"strings"
	"testing"
	"time"
)

// slowServer accepts nothing and never has its last answer ready in time.
type slowServer struct{ accept error }

func (s slowServer) Listener(l net.Listener) error {
	if s.accept != nil {
		return s.accept
	}
	for {
		if _, err := l.Accept(); err != nil {
			return nil
		}
	}
}

func (slowServer) ShutdownWithTimeout(time.Duration) error { return context.DeadlineExceeded }

func runUntil(t *testing.T, ctx context.Context, app server) (log string, err error) {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	var lines strings.Builder
	here := site{log: slog.New(slog.NewTextHandler(&lines, nil))}
	err = here.until(ctx, app, listener)
	return lines.String(), err
}

// A request that takes longer than the goodbye does not keep the program from ending; the log tells of it.
func TestGoodbyeIsNotForEver(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	log, err := runUntil(t, ctx, slowServer{})
	if err != nil || !strings.Contains(log, "stopped before every request had its answer") {
		t.Errorf("%v\n%s", err, log)
	}
}

func TestServerThatFailsEndsTheRun(t *testing.T) {
	full := errors.New("too many open files")
	if _, err := runUntil(t, t.Context(), slowServer{full}); !errors.Is(err, full) {
		t.Errorf("got %v", err)
	}
}

package handlers

import (
	"context"
	"log/slog"
	"net/http"
	"strings"
	"testing"

	"spanroom/internal/store/storetest"
)

// logWatch hands what is logged to a test.
type logWatch struct{ see func(line string) }

func (w logWatch) Write(p []byte) (int, error) { w.see(string(p)); return len(p), nil }

// A panic ends its request alone: the log has where it was, the answer has not, and what the answer still reads from the
// database is read in time.
func TestPanic(t *testing.T) {
	h := bareHouse(t, storetest.New(t), "2027-03-03T09:00:00Z")
	rooms := h.app.Rooms
	var lines, ended []string
	var asked context.Context
	rooms.Log = slog.New(slog.NewTextHandler(logWatch{func(line string) {
		lines = append(lines, line)
		if asked.Err() != nil {
			ended = append(ended, line)
		}
	}}, nil))
	rooms.Ready = func(ctx context.Context) error { asked = ctx; panic("a secret cause") }
	h.app = build(rooms)
	got := h.reply(h.send(request("GET", "/readyz", "", "")))
	if got.Status != http.StatusInternalServerError || strings.Contains(got.Text, "secret") || !strings.Contains(got.Text, got.Header.Get("X-Request-ID")) {
		t.Errorf("%d %s", got.Status, got.Text)
	}
	if log := strings.Join(lines, ""); !strings.Contains(log, "a secret cause") || !strings.Contains(log, "TestPanic") {
		t.Errorf("the log does not tell cause and place:\n%s", log)
	}
	if len(ended) > 0 {
		t.Errorf("the request had ended before its failure was told: %s", ended)
	}
}

package handlers

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/store"
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

// What an address does not take is told with what it takes; what is no address at all stays missing.
func TestMethodsThatAnAddressDoesNotTake(t *testing.T) {
	h := newHarrowmere(t, morning)
	for _, c := range []struct {
		method, path, allow string
		status              int
	}{
		{"PUT", "/items/Q4", "GET, HEAD, POST", http.StatusMethodNotAllowed},
		{"DELETE", "/items", "GET, HEAD, POST", http.StatusMethodNotAllowed},
		{"GET", "/calc/z", "POST", http.StatusMethodNotAllowed},
		{"POST", "/ledger", "GET, HEAD", http.StatusMethodNotAllowed},
		{"GET", "/holds/1/release", "POST", http.StatusMethodNotAllowed},
		{"PUT", "/nothing", "", http.StatusNotFound},
		{"GET", "/items/Q4/nothing", "", http.StatusNotFound},
	} {
		r := h.call(auth.Viewer, c.method, c.path, "")
		if r.Status != c.status || r.Header.Get("Allow") != c.allow || r.JSON["kind"] != "missing" || r.JSON["status"] != float64(c.status) {
			t.Errorf("%s %s: %d, Allow %q, %s", c.method, c.path, r.Status, r.Header.Get("Allow"), r.Text)
		}
	}
	page := h.page(auth.Clerk, "/holds/1/release")
	if page.Status != http.StatusMethodNotAllowed || page.Header.Get("Allow") != "POST" {
		t.Errorf("the page: %d, Allow %q", page.Status, page.Header.Get("Allow"))
	}
	shows(t, "the page", page.Text, "This is not done here", "/holds/1/release takes POST, not GET", `href="/cylinders"`)
}

// A request whose time is over says so, and can be tried again; a fault of the server stays one.
func TestTimeThatIsOver(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := bareHouse(t, s, morning)
		var log []string
		h.app.Log = slog.New(slog.NewTextHandler(logWatch{func(line string) { log = append(log, line) }}, nil))
		over, cancel := context.WithDeadline(t.Context(), time.Now().Add(-time.Second))
		defer cancel()
		left, leave := context.WithCancel(t.Context())
		leave()
		for path, fail := range map[string]func(c *fiber.Ctx) error{
			"reads":  func(c *fiber.Ctx) error { c.SetUserContext(over); _, err := s.Head(over); return err },
			"writes": func(c *fiber.Ctx) error { return s.Tx(over, func(*store.Store) error { return nil }) },
			"left":   func(c *fiber.Ctx) error { _, err := s.Head(left); return fmt.Errorf("reading: %w", err) },
			"breaks": func(c *fiber.Ctx) error { return errors.New("the disk is full") },
		} {
			for _, at := range []string{"/api/v1/", "/"} {
				h.app.fiber.All(at+path, fail)
			}
		}
		for path, want := range map[string]struct {
			status int
			level  string
		}{
			"/api/v1/reads": {http.StatusServiceUnavailable, "WARN"}, "/writes": {http.StatusServiceUnavailable, "WARN"}, "/api/v1/writes": {http.StatusServiceUnavailable, "WARN"},
			"/api/v1/left": {http.StatusServiceUnavailable, "WARN"}, "/api/v1/breaks": {http.StatusInternalServerError, "ERROR"}, "/breaks": {http.StatusInternalServerError, "ERROR"},
		} {
			log = nil
			r := h.reply(h.send(request("POST", path, "", "")))
			late := want.status == http.StatusServiceUnavailable
			if r.Status != want.status || (r.Header.Get("Retry-After") != "") != late || strings.Contains(r.Text, "within 20 seconds") != late {
				t.Errorf("%s: %d, Retry-After %q, %s", path, r.Status, r.Header.Get("Retry-After"), r.Text)
			}
			if !slices.ContainsFunc(log, func(line string) bool { return strings.Contains(line, "level="+want.level) }) || len(log) != 1 {
				t.Errorf("%s: the log says %q", path, log)
			}
		}
	})
}

package handlers

import (
	"context"
	"net"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"spanroom/internal/demo"
	"spanroom/internal/store/storetest"
)

// demoEnds is when the demo's year ends, and when the visitors come.
const demoEnds = "2027-03-03T12:00:00Z"

// browser is Chromium, the demo's store to copy, and the rules of accessibility by which pages are looked at.
type browser struct {
	context.Context
	demo, axe string
}

// Sizes of the screens that pages are made for.
var (
	phone   = screen{360, 740}
	desktop = screen{1280, 800}
)

type screen struct{ width, height int64 }

// TestInABrowser goes the ways of the people through the application as they meet it: pages in Chromium, over a port, on the
// demo's year. Chromium is opened once, the year is lived once, and each way has a tab and a copy of the store of its own.
func TestInABrowser(t *testing.T) {
	b := openBrowser(t)
	for name, visit := range map[string]func(*testing.T, *browser){
		"the looks find faults":               looksFindFaults,
		"clerk on a phone":                    func(t *testing.T, b *browser) { clerkReceives(t, b, phone) },
		"clerk on a desktop":                  func(t *testing.T, b *browser) { clerkReceives(t, b, desktop) },
		"technician on a desktop":             technicianTakes,
		"technician on a phone, without hand": technicianTypes,
		"technician without scripts":          technicianHasNoScripts,
		"technician checks before taking":     technicianChecks,
		"scanner on any page":                 scannerIsHeard,
		"clerk scans labels":                  clerkScansLabels,
		"clerk scans bit by bit":              clerkScansBitByBit,
		"technician scans on the way":         technicianScansOnTheWay,
		"purchaser on a phone":                func(t *testing.T, b *browser) { purchaserOrders(t, b, phone) },
		"purchaser on a desktop":              func(t *testing.T, b *browser) { purchaserOrders(t, b, desktop) },
		"every page by every role":            everyPageByEveryRole,
		"the colours of the night":            coloursOfTheNight,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			visit(t, b)
		})
	}
}

// longestVisit is how long all ways together may take, so that a browser that stands still fails the test in words.
const longestVisit = 8 * time.Minute

func openBrowser(t *testing.T) *browser {
	t.Helper()
	path, rules := storetest.Need(t, "SPANROOM_TEST_CHROMIUM"), storetest.Need(t, "SPANROOM_TEST_AXE")
	axe, err := os.ReadFile(rules)
	if err != nil {
		t.Fatal(err)
	}
	now, err := time.Parse(time.RFC3339, demoEnds)
	if err != nil {
		t.Fatal(err)
	}
	b := &browser{demo: filepath.Join(t.TempDir(), "demo.db"), axe: string(axe)}
	if _, err := demo.Seed(t.Context(), b.demo, now); err != nil {
		t.Fatal(err)
	}
	ctx, end := context.WithTimeout(t.Context(), longestVisit)
	t.Cleanup(end)
	var cancel context.CancelFunc
	b.Context, cancel = chromedp.NewContext(ctx, chromedp.WithAllocatorOptions(chromedp.ExecPath(path), chromedp.NoSandbox))
	t.Cleanup(cancel)
	if err := chromedp.Do(b.Context); err != nil {
		t.Fatal(err)
	}
	return b
}

// house opens a copy of the demo, and serves it on a port of this machine.
func (b *browser) house(t *testing.T) (h *house, address string) {
	t.Helper()
	content, err := os.ReadFile(b.demo)
	if err != nil {
		t.Fatal(err)
	}
	copied := storetest.SQLiteFile(t)
	if err := os.WriteFile(copied, content, 0o600); err != nil {
		t.Fatal(err)
	}
	h = houseOn(t, storetest.Open(t, copied), demoEnds)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- h.app.fiber.Listener(listener) }()
	t.Cleanup(func() {
		if err := h.app.fiber.ShutdownWithTimeout(5 * time.Second); err != nil {
			t.Error(err)
		}
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return h, "http://" + listener.Addr().String()
}

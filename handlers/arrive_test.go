package handlers

import (
	"bytes"
	"compress/gzip"
	"io"
	"net"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/gofiber/fiber/v2"
	"github.com/valyala/fasthttp"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// A few kilobytes can unpack to gigabytes, so nothing is unpacked, not even for those who are signed in.
func TestCompressedBodiesAreRefused(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	var bomb bytes.Buffer
	z := gzip.NewWriter(&bomb)
	if _, err := z.Write([]byte(`{"name":"` + strings.Repeat("a", 1<<20) + `"}`)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/sign-in", "/api/v1/receipts"} {
		req := request("POST", path, "application/json", bomb.String())
		req.Header.Set("Content-Encoding", "gzip")
		req.Header.Set("Authorization", "Bearer "+h.tokens[auth.Supervisor])
		if got := h.reply(h.send(req)); got.Status != http.StatusBadRequest || !strings.Contains(got.Text, "compressed") {
			t.Errorf("%s: %d %.200s", path, got.Status, got.Text)
		}
	}
}

// Nor is a form with files unpacked for the page that refuses it, which shows again what was typed.
func TestCompressedFormsAreNotUnpacked(t *testing.T) {
	const form = "--x\r\nContent-Disposition: form-data; name=\"name\"\r\n\r\nada\r\n--x--\r\n"
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	if _, err := z.Write([]byte(form)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	app := fiber.New(fiber.Config{DisablePreParseMultipartForm: true})
	app.Post("/", func(c *fiber.Ctx) error { return c.JSON(typed(c)) })
	for _, tt := range []struct{ encoding, body, want string }{
		{"", form, `{"name":"ada"}`}, {"identity", form, `{}`}, {"gzip", packed.String(), `{}`},
	} {
		req := request("POST", "/", "multipart/form-data; boundary=x", tt.body)
		req.Header.Set("Content-Encoding", tt.encoding)
		resp, err := app.Test(req)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := io.ReadAll(resp.Body); err != nil || string(got) != tt.want {
			t.Errorf("encoding %q: typed %s, %v; want %s", tt.encoding, got, err, tt.want)
		}
	}
}

// What is not text in an address names nothing; PostgreSQL would not even look.
func TestAddressesThatAreNotText(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := houseOn(t, s, "2027-03-03T09:00:00Z")
		for path, want := range map[string]int{
			"/items/%00": http.StatusNotFound, "/items/%ff%fe": http.StatusNotFound, "/cylinders/a%0ab": http.StatusNotFound,
			"/items?after=%00": http.StatusOK, "/items?after=%ff": http.StatusOK, "/cylinders?q=%ff%00": http.StatusOK,
			"/ledger?subject=%00": http.StatusOK, "/scan?text=%ff": http.StatusOK, "/checkouts?holder=%00": http.StatusOK,
		} {
			if got := h.call(auth.Viewer, "GET", path, ""); got.Status != want {
				t.Errorf("%s: %d %s", path, got.Status, got.Text)
			}
		}
	})
}

// HEAD is answered as GET is, for whoever may read.
func TestHead(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	for path, want := range map[string]int{"/items": http.StatusOK, "/items/X": http.StatusNotFound} {
		req := request("HEAD", "/api/v1"+path, "", "")
		req.Header.Set("Authorization", "bearer "+h.tokens[auth.Viewer])
		res := h.send(req)
		if body, err := io.ReadAll(res.Body); err != nil || res.StatusCode != want || len(body) > 0 {
			t.Errorf("HEAD %s: %d %q (%v), want %d and nothing", path, res.StatusCode, body, err, want)
		}
	}
	for path, want := range map[string]int{"/api/v1/items": http.StatusUnauthorized, "/items": http.StatusSeeOther, "/sign-in": http.StatusOK} {
		res := h.send(request("HEAD", path, "", ""))
		if got := res.StatusCode; got != want || res.Header.Get("Cache-Control") != "no-store" {
			t.Errorf("HEAD %s by nobody: %d, kept %q", path, got, res.Header.Get("Cache-Control"))
		}
	}
	if got := h.reply(h.send(request("GET", "/api/v1", "", ""))); got.Status != http.StatusUnauthorized {
		t.Errorf("the root of the API answers a program with %d", got.Status)
	}
}

// The id of a request goes into the ledger, so a caller's own has to be short and plain.
func TestOnlyPlainRequestIDsAreKept(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	for given, kept := range map[string]bool{
		"trace-7.a:2": true, strings.Repeat("x", 65): false, "a b": false, "\xff\xfe": false, "": false,
	} {
		got := h.call(auth.Viewer, "GET", "/items", "", "X-Request-ID", given).Header.Get("X-Request-ID")
		if got == "" || (got == given) != kept {
			t.Errorf("%q became %q", given, got)
		}
	}
}

// Any key does, however long or odd, and it is the same key only for the same text.
func TestAnyIdempotencyKeyDoes(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := houseOn(t, s, "2027-03-03T09:00:00Z")
		long := newKey()
		for len(long) < 5000 {
			long += newKey()
		}
		for i, key := range []string{long, long + "2", "\xff\xfe"} {
			body := `{"code":"s` + string(rune('0'+i)) + `"}`
			for range 2 {
				if got := h.call(auth.Supervisor, "POST", "/suppliers", body, "Idempotency-Key", key); got.Status != http.StatusCreated {
					t.Errorf("key %d: %d %s", i, got.Status, got.Text)
				}
			}
		}
		form := url.Values{"code": {"s9"}, "key": {long + "\x00"}}
		if got := h.submit(auth.Supervisor, "/suppliers", form); got.Status != http.StatusSeeOther {
			t.Errorf("in a form: %d", got.Status)
		}
	})
}

// Behind TLS the browser is told to stay there, whatever the proxy says of it; without, it is not.
func TestSecureIsTold(t *testing.T) {
	for _, secure := range []bool{true, false} {
		rooms := bareHouse(t, storetest.New(t), "2027-03-03T09:00:00Z").app.Rooms
		rooms.Secure = secure
		res, err := New(rooms).Test(request("GET", "/healthz", "", ""))
		if err != nil {
			t.Fatal(err)
		}
		if got := res.Header.Get("Strict-Transport-Security"); (got == "max-age=31536000") != secure || !secure && got != "" {
			t.Errorf("secure %v: %q", secure, got)
		}
	}
}

func TestAddressBehindProxies(t *testing.T) {
	a := &app{fiber: fiber.New()}
	for _, text := range []string{"10.0.0.0/8", "192.0.2.1"} {
		a.proxies = append(a.proxies, network(text))
	}
	for _, test := range []struct {
		name, remote string
		forwarded    []string
		want         string
	}{
		{"straight", "203.0.113.5", nil, "203.0.113.5"},
		{"straight, with an invention", "203.0.113.5", []string{"198.51.100.1"}, "203.0.113.5"},
		{"through one proxy", "10.1.2.3", []string{"203.0.113.5"}, "203.0.113.5"},
		{"the invention stands first", "10.1.2.3", []string{"198.51.100.1, 203.0.113.5"}, "203.0.113.5"},
		{"the invention has a line of its own", "192.0.2.1", []string{"198.51.100.1", "203.0.113.5"}, "203.0.113.5"},
		{"through two proxies", "10.1.2.3", []string{"198.51.100.1, 203.0.113.5, 192.0.2.1"}, "203.0.113.5"},
		{"nonsense ends it", "10.1.2.3", []string{"203.0.113.5, unknown"}, "10.1.2.3"},
		{"a proxy that says nothing", "10.1.2.3", nil, "10.1.2.3"},
		{"one that is no proxy", "192.0.2.2", []string{"203.0.113.5"}, "192.0.2.2"},
		{"mapped into version 6", "::ffff:10.1.2.3", []string{"2001:db8::1"}, "2001:db8::1"},
	} {
		t.Run(test.name, func(t *testing.T) {
			var raw fasthttp.RequestCtx
			raw.SetRemoteAddr(&net.TCPAddr{IP: net.ParseIP(test.remote)})
			for _, line := range test.forwarded {
				raw.Request.Header.Add(fiber.HeaderXForwardedFor, line)
			}
			c := a.fiber.AcquireCtx(&raw)
			defer a.fiber.ReleaseCtx(c)
			if got := a.address(c); got != test.want {
				t.Errorf("%s, want %s", got, test.want)
			}
		})
	}
}

// What goes wrong before a handler is asked is told without a noise in the log.
func TestFailuresOfTheConnection(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	c := h.app.fiber.AcquireCtx(&fasthttp.RequestCtx{})
	defer h.app.fiber.ReleaseCtx(c)
	for status, want := range map[int]problem.Kind{
		http.StatusRequestTimeout: problem.Malformed, http.StatusBadGateway: problem.Malformed, http.StatusBadRequest: problem.Malformed,
		http.StatusRequestHeaderFieldsTooLarge: problem.Malformed, http.StatusRequestEntityTooLarge: problem.TooLarge,
		http.StatusNotFound: problem.Missing, http.StatusTeapot: "",
	} {
		if got := h.app.understand(c, fiber.NewError(status)); got.Kind != want || got.Advice == "" {
			t.Errorf("%d is %q", status, got.Kind)
		}
	}
}

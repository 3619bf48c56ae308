package handlers

import (
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/purchase"
	"spanroom/internal/stock"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/views"
)

// house is the whole application on a new store, with a person of each role who has a token and a session.
type house struct {
	t        *testing.T
	app      *app
	store    *store.Store
	file     string // of the database, where the test keeps it
	now      time.Time
	tokens   map[auth.Role]string
	sessions map[auth.Role]string
}

const testPassword = "correct horse battery"

// newHouse builds it on SQLite; its clock stands still until the test moves it.
func newHouse(t *testing.T, now string) *house {
	t.Helper()
	return houseOn(t, storetest.New(t), now)
}

func houseOn(t *testing.T, s *store.Store, now string) *house {
	t.Helper()
	h := bareHouse(t, s, now)
	ctx := context.Background()
	if err := h.app.Catalogue.Start(ctx, auth.Act{By: auth.Person{Name: "start"}}); err != nil {
		t.Fatal(err)
	}
	for _, role := range auth.Roles() {
		token, err := h.app.Auth.AddToken(ctx, string(role), role)
		if err != nil {
			t.Fatal(err)
		}
		h.tokens[role] = token
	}
	return h
}

// bareHouse is the application on a store as it is.
func bareHouse(t *testing.T, s *store.Store, now string) *house {
	t.Helper()
	h := &house{t: t, store: s, tokens: map[auth.Role]string{}, sessions: map[auth.Role]string{}}
	h.at(now)
	clock := func() time.Time { return h.now }
	set, err := pages()
	if err != nil {
		t.Fatal(err)
	}
	rooms := Rooms{
		Auth: auth.Room{Store: s, Now: clock}, Catalogue: catalogue.Room{Store: s, Now: clock}, Stock: stock.Room{Store: s, Now: clock},
		Purchase: purchase.Room{Store: s, Now: clock}, Views: set, Ready: s.Ready, Now: clock,
		Log: slog.New(slog.NewTextHandler(testLog{t}, nil)),
	}
	h.app = build(rooms)
	return h
}

// at puts the clock to a moment, at which everybody signs in anew.
func (h *house) at(now string) {
	h.t.Helper()
	moment, err := time.Parse(time.RFC3339, now)
	if err != nil {
		h.t.Fatal(err)
	}
	h.now = moment
	clear(h.sessions)
}

// pages are parsed once for all tests.
var pages = sync.OnceValues(func() (*views.Set, error) { return views.Load("") })

// testLog shows what the application logs, and only when the test fails.
type testLog struct{ t *testing.T }

func (l testLog) Write(p []byte) (int, error) {
	l.t.Log(strings.TrimSpace(string(p)))
	return len(p), nil
}

// session signs a role in through the sign-in page and keeps its session; the first time it makes the person.
func (h *house) session(role auth.Role) string {
	h.t.Helper()
	if h.sessions[role] != "" {
		return h.sessions[role]
	}
	name := string(role) + " in person"
	if err := h.app.Auth.AddUser(context.Background(), name, role, testPassword); err != nil && problem.KindOf(err) != problem.Conflict {
		h.t.Fatal(err)
	}
	form := url.Values{"name": {name}, "password": {testPassword}}
	res := h.send(request("POST", "/sign-in", "application/x-www-form-urlencoded", form.Encode()))
	for _, cookie := range res.Cookies() {
		if cookie.Name == sessionCookie {
			h.sessions[role] = cookie.Value
		}
	}
	if h.sessions[role] == "" {
		h.t.Fatalf("%s cannot sign in: status %d", role, res.StatusCode)
	}
	return h.sessions[role]
}

func request(method, path, kind, body string) *http.Request {
	req := httptest.NewRequest(method, path, strings.NewReader(body))
	if body != "" || method == http.MethodPost {
		req.Header.Set("Content-Type", kind)
	}
	return req
}

func (h *house) send(req *http.Request) *http.Response {
	h.t.Helper()
	res, err := h.app.fiber.Test(req, -1)
	if err != nil {
		h.t.Fatal(err)
	}
	return res
}

// reply is an answer with its body read; JSON objects are parsed.
type reply struct {
	Status int
	Header http.Header
	Text   string
	JSON   map[string]any
}

func (h *house) reply(res *http.Response) reply {
	h.t.Helper()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		h.t.Fatal(err)
	}
	r := reply{Status: res.StatusCode, Header: res.Header, Text: string(body)}
	if strings.Contains(res.Header.Get("Content-Type"), "json") {
		if err := json.Unmarshal(body, &r.JSON); err != nil {
			h.t.Fatalf("not JSON: %s", body)
		}
	}
	return r
}

// call sends JSON to the API with the token of a role; body is a JSON text or "".
func (h *house) call(role auth.Role, method, path, body string, headers ...string) reply {
	h.t.Helper()
	req := request(method, "/api/v1"+path, "application/json", body)
	if role != "" {
		req.Header.Set("Authorization", "Bearer "+h.tokens[role])
	}
	for i := 0; i+1 < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
	}
	r := h.reply(h.send(req))
	h.conforms(method, path, body, r)
	return r
}

// must is call for what has to work: a status of the 200s.
func (h *house) must(role auth.Role, method, path, body string) map[string]any {
	h.t.Helper()
	r := h.call(role, method, path, body)
	if r.Status >= 300 {
		h.t.Fatalf("%s %s: %d %s", method, path, r.Status, r.Text)
	}
	return r.JSON
}

// page gets a page as a person of a role sees it.
func (h *house) page(role auth.Role, path string) reply {
	h.t.Helper()
	req := request("GET", path, "", "")
	req.AddCookie(&http.Cookie{Name: sessionCookie, Value: h.session(role)})
	return h.reply(h.send(req))
}

// submit sends a form as a person of a role, with the token that its page carries.
func (h *house) submit(role auth.Role, path string, form url.Values) reply {
	h.t.Helper()
	session := h.session(role)
	form.Set("csrf", auth.CSRF(session))
	if form.Get("key") == "" {
		form.Set("key", newKey())
	}
	req := request("POST", path, "application/x-www-form-urlencoded", form.Encode())
	req.Header.Set("Sec-Fetch-Site", "same-origin")
	req.AddCookie(&http.Cookie{Name: sessionCookie, Value: session})
	return h.reply(h.send(req))
}

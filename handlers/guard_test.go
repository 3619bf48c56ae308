package handlers

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

var parameter = regexp.MustCompile(`:\w+`)

// Every route is tried by every role, by nobody, and by a forger; the deed of its line in the table decides.
func TestEveryRouteByEveryRole(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	for _, r := range h.app.routes {
		if r.deed == "" {
			continue
		}
		path := parameter.ReplaceAllString(r.path, "1")
		nobody := h.reply(h.send(request(r.method, path, "application/json", "")))
		if strings.HasPrefix(path, "/api/v1/") && nobody.Status != http.StatusUnauthorized {
			t.Errorf("%s %s answers nobody with %d", r.method, r.path, nobody.Status)
		}
		for _, role := range auth.Roles() {
			if path == "/sign-out" {
				continue // it would end the session that the rest of this test needs
			}
			got := h.try(role, r.method, path)
			if want := auth.Can(role, r.deed); want == (got == http.StatusForbidden) {
				t.Errorf("%s %s for a %s: status %d, may: %v", r.method, r.path, role, got, want)
			}
			if got == http.StatusInternalServerError {
				t.Errorf("%s %s for a %s fails", r.method, r.path, role)
			}
		}
	}
}

// try sends an empty request as a role and gives the status. A refusal by a rule of the room, such as who may close a task,
// is not the route's.
func (h *house) try(role auth.Role, method, path string) int {
	if strings.HasPrefix(path, "/api/v1/") {
		return h.call(role, method, strings.TrimPrefix(path, "/api/v1"), "").Status
	}
	if method == http.MethodGet {
		return h.page(role, path).Status
	}
	return h.submit(role, path, url.Values{}).Status
}

func TestAFormNeedsTheTokenOfItsSession(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	session := h.session(auth.Supervisor)
	form := func(csrf string) string {
		return url.Values{"csrf": {csrf}, "code": {"northbank"}, "lead_time_days": {"42"}, "lead_time_sd_days": {"8"}}.Encode()
	}
	for _, test := range []struct {
		name, csrf string
		headers    map[string]string
		want       int
	}{
		{"no token", "", nil, http.StatusForbidden},
		{"another session's token", auth.CSRF("else"), nil, http.StatusForbidden},
		{"from another site", auth.CSRF(session), map[string]string{"Sec-Fetch-Site": "cross-site"}, http.StatusForbidden},
		{"from another origin, old browser", auth.CSRF(session), map[string]string{"Origin": "https://elsewhere.example"}, http.StatusForbidden},
		{"from our page", auth.CSRF(session), map[string]string{"Sec-Fetch-Site": "same-origin"}, http.StatusSeeOther},
	} {
		t.Run(test.name, func(t *testing.T) {
			req := request("POST", "/suppliers", "application/x-www-form-urlencoded", form(test.csrf))
			req.AddCookie(&http.Cookie{Name: sessionCookie, Value: session})
			for name, value := range test.headers {
				req.Header.Set(name, value)
			}
			if got := h.reply(h.send(req)); got.Status != test.want {
				t.Errorf("status %d, want %d", got.Status, test.want)
			}
		})
	}
}

func TestSignInIsLimitedAndStaysOnThisSite(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	h.session(auth.Clerk)
	try := func(password, next string) reply {
		form := url.Values{"name": {"clerk in person"}, "password": {password}, "next": {next}}
		return h.reply(h.send(request("POST", "/sign-in", "application/x-www-form-urlencoded", form.Encode())))
	}
	for _, next := range []string{"//elsewhere.example/", "/\t/elsewhere.example", "/\\elsewhere.example", "https://elsewhere.example", "/a b"} {
		if got := try(testPassword, next).Header.Get("Location"); got != "/" {
			t.Errorf("the way back by %q leads to %q", next, got)
		}
	}
	if got := try(testPassword, "/cylinders?place=CAGE").Header.Get("Location"); got != "/cylinders?place=CAGE" {
		t.Errorf("the way back is lost: %q", got)
	}
	wrong := try("wrong password", "/cylinders")
	if wrong.Status != http.StatusUnauthorized || !strings.Contains(wrong.Text, "clerk in person") || strings.Contains(wrong.Text, "wrong password") {
		t.Errorf("a wrong password: status %d, the page keeps the name and never the password", wrong.Status)
	}
	for range h.app.limiter.Most {
		wrong = try("wrong password", "")
	}
	if wrong.Status != http.StatusTooManyRequests {
		t.Errorf("after many tries: status %d", wrong.Status)
	}
}

// A link from elsewhere cannot make our pages say something.
func TestOnlyOurOwnPagesPutUpNotices(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	session := h.session(auth.Clerk)
	for site, want := range map[string]bool{"": true, "same-origin": true, "none": false, "cross-site": false, "same-site": false} {
		req := request("GET", "/items?done=Saved+by+a+stranger", "", "")
		req.AddCookie(&http.Cookie{Name: sessionCookie, Value: session})
		if site != "" {
			req.Header.Set("Sec-Fetch-Site", site)
		}
		if got := strings.Contains(h.reply(h.send(req)).Text, "Saved by a stranger"); got != want {
			t.Errorf("from %q: %v", site, got)
		}
	}
}

func TestSignOutEndsTheSession(t *testing.T) {
	h := newHouse(t, "2027-03-03T09:00:00Z")
	if got := h.submit(auth.Viewer, "/sign-out", url.Values{}).Status; got != http.StatusSeeOther {
		t.Fatalf("status %d", got)
	}
	got := h.page(auth.Viewer, "/cylinders?q=a%20b")
	if got.Status != http.StatusSeeOther || got.Header.Get("Location") != "/sign-in?next="+url.QueryEscape("/cylinders?q=a%20b") {
		t.Errorf("after signing out: %d to %q", got.Status, got.Header.Get("Location"))
	}
}

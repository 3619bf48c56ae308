package handlers

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

const formKind = "application/x-www-form-urlencoded"

// signedOut sends a form with a session that has ended.
func (h *house) signedOut(path string, form url.Values, headers ...string) reply {
	h.t.Helper()
	req := request("POST", path, formKind, form.Encode())
	req.Header.Set("Sec-Fetch-Site", "same-origin")
	req.AddCookie(&http.Cookie{Name: sessionCookie, Value: "ended"})
	for i := 0; i+1 < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
	}
	return h.reply(h.send(req))
}

// goOn fills in the sign-in form of a page and sends it.
func (h *house) goOn(page reply, role auth.Role, password string) (reply, string) {
	h.t.Helper()
	h.session(role) // so that there is somebody
	form := url.Values{}
	for name, value := range formOn(h.t, page.Text, "/sign-in").values {
		form.Set(name, value)
	}
	form.Set("name", string(role)+" in person")
	form.Set("password", password)
	req := request("POST", "/sign-in", formKind, form.Encode())
	req.Header.Set("Sec-Fetch-Site", "same-origin")
	res := h.send(req)
	session := ""
	for _, cookie := range res.Cookies() {
		if cookie.Name == sessionCookie {
			session = cookie.Value
		}
	}
	return h.reply(res), session
}

func TestAFormOutlivesItsSession(t *testing.T) {
	h := newHarrowmere(t, morning)
	h.session(auth.Purchaser)
	before := newPlayer(h, true).head()
	form := url.Values{"csrf": {"old"}, "key": {"old"}, "code": {"newcomer"}, "name": {`Newcomer & "Sons"`}, "lead_time_days": {"21"}}
	page := h.signedOut("/suppliers", form)
	if page.Status != http.StatusUnauthorized {
		t.Fatalf("%d %s", page.Status, page.Text)
	}
	shows(t, "the sign-in page", page.Text, "You are signed out", "what you typed comes back")
	if got := formOn(t, page.Text, "/sign-in").values; got["name"] != "" || strings.Contains(got["kept.fields"], "old") {
		t.Errorf("%v", got)
	}
	wrong, _ := h.goOn(page, auth.Purchaser, "wrong password")
	if wrong.Status != http.StatusUnauthorized || formOn(t, wrong.Text, "/sign-in").values["name"] != "purchaser in person" {
		t.Errorf("a wrong password: %d %s", wrong.Status, wrong.Text)
	}
	back, session := h.goOn(wrong, auth.Purchaser, testPassword)
	if back.Status != http.StatusOK || session == "" || newPlayer(h, true).head() != before {
		t.Fatalf("%d, session %q, the ledger at %v: %s", back.Status, session, newPlayer(h, true).head(), back.Text)
	}
	shows(t, "the form", back.Text, "You were signed out", "nothing was done yet", "<h1>Suppliers</h1>")
	again := formOn(t, back.Text, "/suppliers").values
	if again["name"] != `Newcomer & "Sons"` || again["lead_time_days"] != "21" || again["csrf"] != auth.CSRF(session) || again["key"] == "old" || again["key"] == "" {
		t.Errorf("%v", again)
	}
	for name, value := range again {
		form.Set(name, value)
	}
	req := request("POST", "/suppliers", formKind, form.Encode())
	req.Header.Set("Sec-Fetch-Site", "same-origin")
	req.AddCookie(&http.Cookie{Name: sessionCookie, Value: session})
	if done := h.reply(h.send(req)); done.Status != http.StatusSeeOther || newPlayer(h, true).head() == before {
		t.Errorf("sent again: %d %s", done.Status, done.Text)
	}
}

// Whatever form a person sends, signing in shows it as it was typed and does nothing.
func TestSigningInDoesNothingElse(t *testing.T) {
	p := prepared(t, true)
	for _, role := range auth.Roles() {
		p.session(role)
	}
	before := p.head()
	more := []goodOrder{
		{auth.Clerk, "POST /cylinders/{A2}/label", `{"fault":"washed out"}`, nil},
		{auth.Purchaser, "POST /suppliers/northbank", `{"name":"North","lead_time_days":5}`, nil},
		{auth.Supervisor, "POST /holds/{hold}/release?at={A4}", `{"evidence":"it is paint"}`, nil},
	}
	for _, order := range slices.Concat(goodOrders, more) {
		_, path, _ := strings.Cut(p.fill(order.do), " ")
		if path == "/checkouts/recommend" {
			continue
		}
		p.what = order.do
		form := formOf(t, p.fill(order.body))
		back, _ := p.goOn(p.signedOut(path, form), order.as, testPassword)
		if back.Status != http.StatusOK || !strings.Contains(back.Text, "nothing was done yet") {
			p.fail("%d: %.600s", back.Status, back.Text)
			continue
		}
		p.keepsWhatWasTyped(formOn(t, back.Text, path), p.firstForm(order.as, path, form), form)
		if now := p.head(); now != before {
			p.fail("the ledger goes from %v to %v", before, now)
		}
	}
	for _, path := range []string{"/sign-out", "/tasks/1/done", "/suppliers/a/b", "//elsewhere.example/suppliers", "https://elsewhere.example/suppliers", "/api/v1/suppliers"} {
		page := reply{Text: `<form action="/sign-in" method="post"><input name="kept.at" value="` + path + `"><input name="kept.fields" value="code=newcomer"></form>`}
		if back, session := p.goOn(page, auth.Supervisor, testPassword); back.Status != http.StatusSeeOther || back.Header.Get("Location") != "/" || session == "" || p.head() != before {
			t.Errorf("%s: %d to %q", path, back.Status, back.Header.Get("Location"))
		}
	}
}

// Every address that takes a form either keeps it or is known to have nothing to keep.
func TestEveryFormIsKeptOrHasNothingToKeep(t *testing.T) {
	nothing := []string{"/sign-in", "/sign-out", "/tasks/:id/done"}
	for _, r := range newHouse(t, morning).app.routes {
		if r.method != http.MethodPost || strings.HasPrefix(r.path, "/api/") {
			continue
		}
		if kept := slices.Contains(keepable, r.path); kept == slices.Contains(nothing, r.path) {
			t.Errorf("%s: kept %v", r.path, kept)
		}
	}
}

func TestFormsThatAreNotKept(t *testing.T) {
	h := newHarrowmere(t, morning)
	for name, page := range map[string]reply{
		"of another site": h.signedOut("/suppliers", url.Values{"code": {"stranger"}}, "Sec-Fetch-Site", "cross-site"),
		"too large":       h.signedOut("/suppliers", url.Values{"note": {strings.Repeat("x", mostKept)}}),
		"of nothing":      h.signedOut("/tasks/1/done", url.Values{}),
	} {
		if page.Status != http.StatusUnauthorized || strings.Contains(page.Text, "kept.fields") || !strings.Contains(page.Text, "sign in, then repeat the step") {
			t.Errorf("%s: %d %s", name, page.Status, page.Text)
		}
		if back, session := h.goOn(page, auth.Purchaser, testPassword); back.Status != http.StatusSeeOther || session == "" {
			t.Errorf("%s: signing in leads to %d", name, back.Status)
		}
	}
	page := h.signedOut("/blends", url.Values{"code": {"Q9"}})
	if back, _ := h.goOn(page, auth.Clerk, testPassword); back.Status != http.StatusForbidden {
		t.Errorf("for who may not: %d", back.Status)
	}
	if r := h.reply(h.send(request("POST", "/api/v1/suppliers", "application/json", `{}`))); r.Status != http.StatusUnauthorized || r.JSON["kind"] != "signed_out" {
		t.Errorf("a program: %d %s", r.Status, r.Text)
	}
}

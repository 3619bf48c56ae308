package handlers

import (
	"bufio"
	"errors"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// writes lists the paths that something can be sent to, below a prefix, with something that is there in each.
func (p *player) writes(prefix string) []string {
	var paths []string
	for _, r := range p.app.routes {
		path, under := strings.CutPrefix(r.path, prefix)
		if r.method == http.MethodPost && r.deed != "" && under && strings.HasPrefix(r.path, "/api/") == (prefix != "") {
			code := map[string]string{"instruments": "D-001", "components": "H2S", "suppliers": "northbank", "places": "CAGE", "regulators": "R-01", "tubings": "T-01", "caps": "C-1", "procedures": "bump-q4", "models": "DIFF-4", "rounds": "stoke"}[strings.Split(path, "/")[1]]
			if code == "" {
				code = "Q4"
			}
			paths = append(paths, strings.NewReplacer(":tag", p.kept["A2"], ":id", "1", ":code", code).Replace(path))
		}
	}
	slices.Sort(paths)
	return slices.DeleteFunc(paths, func(path string) bool { return path == "/sign-out" || strings.HasPrefix(path, "/tasks/") }) // they read no body
}

func TestNoBodyBreaksTheAPI(t *testing.T) {
	p := prepared(t, false)
	const json, form = "application/json", "application/x-www-form-urlencoded"
	for _, path := range p.writes("/api/v1") {
		for name, c := range map[string]struct {
			kind, body string
			want       []int
		}{
			"half an object":      {json, `{"item":`, []int{400}},
			"a list":              {json, `[]`, []int{400}},
			"a text":              {json, `"x"`, []int{400}},
			"null":                {json, `null`, []int{400}},
			"two objects":         {json, `{} {}`, []int{400}},
			"no JSON at all":      {json, "\x00\xff", []int{400}},
			"nested without end":  {json, strings.Repeat(`{"a":`, 20_000) + strings.Repeat("}", 20_000), []int{400, 422}},
			"broken UTF-8":        {json, "{\"item\":\"\xff\xfe\"}", []int{400, 422}},
			"an unknown field":    {json, `{"no_such_field":1}`, []int{400, 422}},
			"one of another case": {json, `{"Code":"X","ITEM":"Q4"}`, []int{400, 422}},
			"plain text":          {"text/plain", `{"item":"Q4"}`, []int{400}},
			"no kind":             {"", `{"item":"Q4"}`, []int{400}},
			"a form without end":  {form, strings.Repeat("a.", 5000) + "a=1", []int{400, 422}},
		} {
			p.what = path + ", " + name
			head := p.head()
			req := request("POST", "/api/v1"+path, c.kind, c.body)
			req.Header.Set("Authorization", "Bearer "+p.tokens[auth.Supervisor])
			r := p.reply(p.send(req))
			if !slices.Contains(c.want, r.Status) {
				p.fail("%d, want %v: %s", r.Status, c.want, brieflyTold(r))
				continue
			}
			p.isComplete(r)
			if p.head() != head {
				p.fail("the ledger has a new entry")
			}
		}
	}
	p.verify()
}

func TestNoFormBreaksThePages(t *testing.T) {
	p := prepared(t, true)
	many := url.Values{}
	for i := range 5000 {
		many.Set("tests."+strconv.Itoa(i)+".count", "1")
	}
	for _, path := range p.writes("") {
		for name, c := range map[string]struct {
			form   url.Values
			forged bool
			want   []int
		}{
			"an unknown field":         {url.Values{"no_such_field": {"1"}}, false, []int{422}},
			"names that contradict":    {url.Values{"item": {"Q4"}, "item.a.b": {"1"}}, false, []int{400}},
			"nested too deep":          {url.Values{"a.b.c.d.e.f.g.h": {"1"}}, false, []int{400}},
			"a row far out":            {url.Values{"tests.999999999.count": {"1"}, "cylinders.-1.serial": {"x"}}, false, []int{422}},
			"too many fields":          {many, false, []int{413}},
			"characters of no meaning": {url.Values{"item": {"\x00\xff\x1b"}, "\xff": {"\x00"}}, false, []int{400, 422}},
			"from another site":        {url.Values{"item": {"Q4"}}, true, []int{403}},
		} {
			p.what = path + ", " + name
			head := p.head()
			session := p.session(auth.Supervisor)
			c.form.Set("csrf", auth.CSRF(session))
			if c.forged {
				c.form.Set("csrf", auth.CSRF("another"))
			}
			req := request("POST", path, "application/x-www-form-urlencoded", c.form.Encode())
			req.AddCookie(&http.Cookie{Name: sessionCookie, Value: session})
			r := p.reply(p.send(req))
			switch {
			case !slices.Contains(c.want, r.Status):
				p.fail("%d, want %v: %s", r.Status, c.want, brieflyTold(r))
			case !strings.Contains(r.Text, `id="problem"`) || !strings.Contains(r.Text, `class="advice"`):
				p.fail("the page says nothing of it: %s", brieflyTold(r))
			case p.head() != head:
				p.fail("the ledger has a new entry")
			}
		}
	}
	p.verify()
}

// Over a real connection programs and people are told that a body over 1 MiB is too large, whether it was read to its end or not.
func TestOversizedBodiesAreRefused(t *testing.T) {
	p := prepared(t, false)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	served := make(chan error, 1)
	go func() { served <- p.app.fiber.Listener(listener) }()
	t.Cleanup(func() {
		if err := errors.Join(p.app.fiber.Shutdown(), <-served); err != nil {
			t.Error(err)
		}
	})
	large := strings.Repeat("x", 1<<20)
	for _, path := range p.writes("/api/v1") {
		for at, c := range map[string]struct{ kind, body, says string }{
			"/api/v1" + path: {"application/json", `{"note":"` + large + `"}`, `"kind":"too_large"`},
			path:             {"application/x-www-form-urlencoded", "note=" + large, `id="problem"`},
		} {
			p.what = at
			req := request("POST", at, c.kind, c.body)
			req.Header.Set("Authorization", "Bearer "+p.tokens[auth.Supervisor])
			if r := p.overNetwork(listener.Addr().String(), req); r.Status != http.StatusRequestEntityTooLarge || !strings.Contains(r.Text, c.says) || !strings.Contains(r.Text, "larger than 1 MiB") {
				p.fail("%d %s", r.Status, brieflyTold(r))
			}
		}
	}
	p.verify()
}

// overNetwork sends a request and reads the answer even where the other side stops listening half-way.
func (p *player) overNetwork(address string, req *http.Request) reply {
	p.t.Helper()
	conn, err := net.Dial("tcp", address)
	if err != nil {
		p.t.Fatal(err)
	}
	defer conn.Close()
	_ = req.Write(conn) // the answer says whether it was enough
	res, err := http.ReadResponse(bufio.NewReader(conn), req)
	if err != nil {
		p.t.Fatal(err)
	}
	return p.reply(res)
}

// Whoever changes what somebody else has changed meanwhile is told so.
func TestStaleVersionsAreRefused(t *testing.T) {
	stale := func(as auth.Role, do, body string) scenario {
		return scenario{name: do, steps: steps(
			brought("A", "Q4", 2, "2026-10-01", "2027-12-01"),
			step{as: auth.Clerk, do: "POST /cylinders/{A1}/move", body: `{"place":"SHELF-A","version":1}`},
			step{as: auth.Supervisor, do: "POST /places/BENCH", body: `{"code":"BENCH","kind":"bench","version":1}`},
			step{as: auth.Supervisor, do: "POST /settings", body: settingsWith(`"grace_days":20`)},
			step{as: as, do: do, body: body, want: 409, says: []string{"version"}},
		)}
	}
	play(t, []scenario{
		stale(auth.Clerk, "POST /cylinders/{A1}/move", `{"place":"BENCH","version":1}`),
		stale(auth.Technician, "POST /cylinders/{A1}/reading", `{"pressure":"69 bar","version":1}`),
		stale(auth.Technician, checkOut, bumps(14, `,"cylinder":"{A1}","version":1`)),
		stale(auth.Supervisor, "POST /places/BENCH", `{"code":"BENCH","kind":"bench","version":1}`),
		stale(auth.Supervisor, "POST /settings", settingsWith(`"version":2`)),
	})
}

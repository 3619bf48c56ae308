package handlers

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"spanroom/internal/auth"
	"spanroom/internal/store"
)

// scenario is what happens one after the other at Harrowmere, through the real application. It is played twice on stores of
// its own: by programs, which send JSON, and by people, who send the same as forms and read pages.
type scenario struct {
	name  string
	now   string // morning where it is empty
	steps []step
}

// step is one request and what comes of it.
type step struct {
	as     auth.Role
	do     string   // method and path; {A} stands for what a step kept as A
	body   string   // JSON, of which the form is made
	want   int      // the status that a program gets; 0 is success
	rule   string   // on which a refusal rests: "stop R21"
	field  string   // that a refusal names
	says   []string // in the answer to a program, and on the page where a person lands
	page   []string // on the page alone
	gives  fields   // what the JSON answer has
	keep   string   // the tags of a receipt become {A1}, {A2} …, an id becomes {A}
	at     string   // the clock moves there first
	before func(h *house)
}

func play(t *testing.T, scenarios []scenario) {
	t.Helper()
	playAt(t, newHarrowmere, scenarios)
}

// playAt plays scenarios in a house of their own.
func playAt(t *testing.T, open func(t *testing.T, now string) *house, scenarios []scenario) {
	t.Helper()
	for _, s := range scenarios {
		for _, people := range []bool{false, true} {
			t.Run(s.name+map[bool]string{false: ", programs", true: ", people"}[people], func(t *testing.T) {
				t.Parallel()
				p := newPlayer(open(t, cmp.Or(s.now, morning)), people)
				for i, st := range s.steps {
					p.what = fmt.Sprintf("step %d", i+1)
					if p.play(st); t.Failed() {
						return // the rest would only echo it
					}
				}
				p.verify()
			})
		}
	}
}

// player goes through the steps of one scenario in one of the two ways.
type player struct {
	*house
	people bool
	kept   map[string]string
	firsts map[string]formPage // of what was opened already
	what   string              // is done just now
}

func newPlayer(h *house, people bool) *player {
	return &player{house: h, people: people, kept: map[string]string{}, firsts: map[string]formPage{}}
}

// play does one step and checks what comes of it.
func (p *player) play(s step) {
	p.t.Helper()
	if s.at != "" {
		p.at(s.at)
	}
	if s.before != nil {
		s.before(p.house)
	}
	method, path, _ := strings.Cut(p.fill(s.do), " ")
	body := p.fill(s.body)
	head := p.head()
	var r reply
	var answer map[string]any
	if p.people {
		r, answer = p.byForm(s, method, path, body)
	} else {
		r = p.call(s.as, method, path, body)
		answer = r.JSON
	}
	if !p.is(s, r) {
		return
	}
	p.tells(s, r, answer)
	if s.want >= http.StatusBadRequest {
		p.refused(s, method, path, body, r)
		if now := p.head(); now != head {
			p.fail("%s %s is refused, and the ledger goes from %v to %v", method, path, head, now)
		}
	}
	p.keep(s, answer)
}

func (p *player) fail(form string, values ...any) {
	p.t.Helper()
	p.t.Errorf("%s: %s", p.what, fmt.Sprintf(form, values...))
}

// fill puts what was kept in the place of its names.
func (p *player) fill(text string) string {
	for name, value := range p.kept {
		text = strings.ReplaceAll(text, "{"+name+"}", value)
	}
	return text
}

// byForm does what a person does: opens a page, or sends a form and is led on. The answer is what a program reads there.
func (p *player) byForm(s step, method, path, body string) (reply, map[string]any) {
	p.t.Helper()
	switch {
	case path == "/checkouts/recommend":
		page := p.page(s.as, "/checkouts/new?"+formOf(p.t, body).Encode())
		return page, p.inPerson(s.as, method, path, body).JSON
	case method == http.MethodGet:
		r := p.page(s.as, path)
		if r.Status == http.StatusSeeOther { // a scan leads on
			r = p.page(s.as, r.Header.Get("Location"))
		}
		return r, p.inPerson(s.as, method, path, "").JSON
	}
	r := p.submit(s.as, path, formOf(p.t, body))
	if r.Status != http.StatusSeeOther {
		return r, nil
	}
	to := r.Header.Get("Location")
	landed := p.page(s.as, to)
	if landed.Status != http.StatusOK {
		p.fail("the form leads to %s: %d", to, landed.Status)
	}
	bare, _, _ := strings.Cut(to, "?")
	answer := p.inPerson(s.as, http.MethodGet, bare, "").JSON
	landed.Status = http.StatusSeeOther
	return landed, answer
}

// is tells whether the status is what is wanted.
func (p *player) is(s step, r reply) bool {
	p.t.Helper()
	method, path, _ := strings.Cut(s.do, " ")
	want := s.want
	if want == 0 {
		want = http.StatusCreated
		if method == http.MethodGet || path == "/checkouts/recommend" {
			want = http.StatusOK
		}
	}
	if p.people && want == http.StatusCreated {
		want = http.StatusSeeOther
	}
	if r.Status != want {
		p.fail("%s is answered %d, want %d: %s", p.fill(s.do), r.Status, want, brieflyTold(r))
	}
	return r.Status == want
}

func (p *player) tells(s step, r reply, answer map[string]any) {
	p.t.Helper()
	text := plainly(r)
	for _, want := range s.says {
		if want = p.fill(want); !strings.Contains(text, want) {
			p.fail("%s does not say %q: %s", p.fill(s.do), want, brieflyTold(r))
		}
	}
	for _, want := range s.page {
		if want = p.fill(want); p.people && !strings.Contains(text, want) {
			p.fail("the page of %s does not say %q", p.fill(s.do), want)
		}
	}
	for way, want := range s.gives {
		if got := dig(answer, way); !same(got, want, p.fill) {
			p.fail("%s: %s is %v, want %v", p.fill(s.do), way, got, want)
		}
	}
}

func (p *player) keep(s step, answer map[string]any) {
	p.t.Helper()
	if s.keep == "" {
		return
	}
	if cylinders, is := answer["cylinders"].([]any); is {
		for i := range cylinders {
			p.kept[fmt.Sprintf("%s%d", s.keep, i+1)] = dig(cylinders, fmt.Sprintf("%d.tag", i)).(string)
		}
		return
	}
	for _, way := range []string{"id", "pick.tag", "rows.0.id"} {
		if value := dig(answer, way); value != nil {
			p.kept[s.keep] = fmt.Sprint(value)
			return
		}
	}
	p.fail("there is nothing to keep as %s in %v", s.keep, answer)
}

// head is the newest entry of the ledger.
func (p *player) head() store.Head {
	p.t.Helper()
	head, err := p.store.Head(context.Background())
	if err != nil {
		p.t.Fatal(err)
	}
	return head
}

// verify holds the books against the ledger after everything that happened.
func (h *house) verify() {
	h.t.Helper()
	v, err := h.store.Verify(context.Background())
	if err != nil || !v.Sound() {
		h.t.Errorf("the books do not add up: %+v, %v", v, err)
	}
}

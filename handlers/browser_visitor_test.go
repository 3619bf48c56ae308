package handlers

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	protocol "github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"spanroom/internal/demo"
)

// visitor is a person with a tab of the browser.
type visitor struct {
	t    *testing.T
	ctx  context.Context
	axe  string
	home string // address of the application
	screen

	heard chan string // what the console says: faults, and marks
	marks int
}

// mark begins what a look writes to the console, to know that all before it was heard.
const mark = "looked at "

// longestStep bounds a single act of a visitor; it ends as soon as it is done.
const longestStep = 15 * time.Second

// visit opens a tab with cookies of its own.
func (b *browser) visit(t *testing.T, address string, s screen) *visitor {
	t.Helper()
	ctx, cancel := chromedp.NewContext(b.Context, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	v := &visitor{t: t, ctx: ctx, axe: b.axe, home: address, heard: make(chan string, 1000)}
	messages := chromedp.Console(ctx) // opens the tab, which so lives as long as ctx
	v.sized(s)
	go func() {
		for m, err := range messages {
			if err == nil && (isFault(m) || strings.HasPrefix(m.Text, mark)) {
				v.heard <- m.Text
			}
		}
	}()
	return v
}

// isFault tells whether a page is to blame for a message. That a form came back with 409 or 422 is none.
func isFault(m chromedp.ConsoleMessage) bool {
	ofADocument := m.Source == "network" && !strings.Contains(m.URL, "/static/")
	return m.IsException() || (m.Type == chromedp.ConsoleError || m.Type == chromedp.ConsoleWarning) && !ofADocument
}

// do takes steps one after the other.
func (v *visitor) do(steps ...chromedp.Action[chromedp.Void]) {
	v.t.Helper()
	if _, err := run(v, chromedp.Steps(steps...)); err != nil {
		v.fail(err)
	}
}

func run[T any](v *visitor, a chromedp.Action[T]) (T, error) {
	ctx, cancel := context.WithTimeout(v.ctx, longestStep)
	defer cancel()
	return chromedp.Run(ctx, a)
}

// fail ends the test, and says where the visitor was.
func (v *visitor) fail(err error) {
	v.t.Helper()
	where, _ := run(v, chromedp.Evaluate[string](`location.href + "\n" + document.body.innerText.slice(0, 1500)`))
	v.t.Fatalf("%v\nat %s", err, where)
}

// sized gives the tab a screen.
func (v *visitor) sized(s screen) {
	v.t.Helper()
	v.screen = s
	v.do(chromedp.EmulateViewport(s.width, s.height))
}

// open goes to a path and gives the status of its page.
func (v *visitor) open(path string) int64 {
	v.t.Helper()
	r, err := run(v, chromedp.NavigateResponse(v.home+path))
	if err != nil {
		v.fail(fmt.Errorf("%s: %w", path, err))
	}
	return r.Status
}

// follow does what leads to another page, and gives its status once it is there.
func (v *visitor) follow(steps ...chromedp.Action[chromedp.Void]) int64 {
	v.t.Helper()
	ctx, cancel := context.WithTimeout(v.ctx, longestStep)
	defer cancel()
	r, err := chromedp.RunResponse(ctx, steps...)
	if err != nil {
		v.fail(err)
	}
	return r.Status
}

// click clicks what is seen, and goes where that leads.
func (v *visitor) click(selector string) int64 {
	v.t.Helper()
	return v.follow(chromedp.Click(chromedp.CSS(selector), chromedp.NodeVisible))
}

// unfold opens what is folded under a summary.
func (v *visitor) unfold(details string) {
	v.t.Helper()
	v.do(chromedp.Click(chromedp.CSS(details+" > summary"), chromedp.NodeVisible), chromedp.WaitVisible(chromedp.CSS(details+"[open]")))
}

// boxNamed selects the field of a name.
func boxNamed(field string) string { return fmt.Sprintf(`main [name=%q]`, field) }

// put types into a field in place of what stands in it.
func (v *visitor) put(field, words string) {
	v.t.Helper()
	v.do(chromedp.Clear(chromedp.CSS(boxNamed(field))), chromedp.SendKeys(chromedp.CSS(boxNamed(field)), words))
}

// set gives a field its value as a date box or a list of choices does.
func (v *visitor) set(field, value string) {
	v.t.Helper()
	v.do(chromedp.SetValue(chromedp.CSS(boxNamed(field)), value))
	if got := v.value(field); got != value {
		v.t.Fatalf("%s cannot be %q, it is %q", field, value, got)
	}
}

func (v *visitor) value(field string) string {
	v.t.Helper()
	return say[string](v, fmt.Sprintf(`document.querySelector(%s).value`, quoted(boxNamed(field))))
}

// says demands that what is selected is seen and has these words in it.
func (v *visitor) says(selector string, words ...string) {
	v.t.Helper()
	v.do(chromedp.WaitVisible(chromedp.CSS(selector)))
	text := say[string](v, fmt.Sprintf(`[...document.querySelectorAll(%s)].map(e => e.innerText).join("\n")`, quoted(selector)))
	for _, want := range words {
		if !strings.Contains(text, want) {
			v.t.Errorf("%s does not say %q but\n%s", selector, want, text)
		}
	}
}

// count tells how many there are of what is selected.
func (v *visitor) count(selector string) int {
	v.t.Helper()
	return say[int](v, fmt.Sprintf(`document.querySelectorAll(%s).length`, quoted(selector)))
}

// say asks the page by a script.
func say[T any](v *visitor, script string) T {
	v.t.Helper()
	answer, err := run(v, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		v.fail(fmt.Errorf("%s: %w", script, err))
	}
	return answer
}

func quoted(text string) string {
	literal, _ := json.Marshal(text) // never fails
	return string(literal)
}

// signIn signs a person of the demo in through the page, and looks at it.
func (v *visitor) signIn(name string) {
	v.t.Helper()
	v.open("/")
	v.look("sign in")
	v.put("name", name)
	v.put("password", demo.Password)
	v.click("main button.main")
	v.look("front page")
}

// carry gives the tab a session.
func (v *visitor) carry(session string) {
	v.t.Helper()
	params := protocol.SetCookieParams{Name: sessionCookie, Value: session, URL: v.home}
	if _, err := chromedp.Call(v.ctx, protocol.SetCookie, params); err != nil {
		v.t.Fatal(err)
	}
}

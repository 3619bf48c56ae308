package handlers

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// look checks the page where the visitor is: nothing on the console, nothing that scrolls sideways, no fault of accessibility.
func (v *visitor) look(where string) {
	v.t.Helper()
	v.quiet(where)
	v.narrow(where)
	v.accessible(where)
}

// quiet demands that the console has said nothing since it was last asked.
func (v *visitor) quiet(where string) {
	v.t.Helper()
	for _, fault := range v.listen() {
		v.t.Errorf("%s: the console says %s", where, fault)
	}
}

// listen gives what the console has said since it was last asked.
func (v *visitor) listen() (faults []string) {
	v.t.Helper()
	v.marks++
	end := fmt.Sprint(mark, v.marks)
	say[bool](v, fmt.Sprintf(`console.debug(%s); true`, quoted(end)))
	for {
		select {
		case words := <-v.heard:
			if words == end {
				return faults
			}
			faults = append(faults, words)
		case <-time.After(longestStep):
			v.t.Fatal("the console is not heard")
		}
	}
}

// narrow demands that the page is no wider than the screen, nor than 320 px where it is a phone's.
func (v *visitor) narrow(where string) {
	v.t.Helper()
	v.noWider(where, v.width)
	if v.screen != phone {
		return
	}
	v.do(chromedp.EmulateViewport(320, v.height))
	v.noWider(where, 320)
	v.do(chromedp.EmulateViewport(v.width, v.height))
}

func (v *visitor) noWider(where string, width int64) {
	v.t.Helper()
	if got := v.wide(); got > width {
		v.t.Errorf("%s: at %d px the page is %d px wide, by %s", where, width, got, say[string](v, widest))
	}
}

func (v *visitor) wide() int64 {
	v.t.Helper()
	return say[int64](v, `document.documentElement.scrollWidth`)
}

// widest names what sticks out.
const widest = `[...document.querySelectorAll("main *, header *, footer *")].filter(e => e.getBoundingClientRect().right > innerWidth + 1).slice(-3).map(e => e.outerHTML.slice(0, 160)).join(" and ")`

// faultsOfAccess runs axe-core by the rules of WCAG 2.2, A and AA, and gives its findings one a line, each with its impact.
const faultsOfAccess = `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], resultTypes: ["violations"]})
	.then(found => found.violations.map(v => v.impact + " " + v.id + ": " + v.nodes.slice(0, 3).map(n => n.html.slice(0, 200) + " " + n.failureSummary.replaceAll("\n", " ")).join("; ")).join("\n"))`

// accessible demands that axe-core finds nothing, whatever its impact.
func (v *visitor) accessible(where string) {
	v.t.Helper()
	if found := v.faultsOfAccess(); found != "" {
		v.t.Errorf("%s: %s", where, found)
	}
}

func (v *visitor) faultsOfAccess() string {
	v.t.Helper()
	if !say[bool](v, `"axe" in window`) {
		say[bool](v, v.axe+"\n;true")
	}
	return say[string](v, faultsOfAccess)
}

// looksFindFaults holds the looks against pages that are spoiled: a look that never finds anything proves nothing.
func looksFindFaults(t *testing.T, b *browser) {
	_, address := b.house(t)
	v := b.visit(t, address, phone)
	v.open("/sign-in")
	v.look("sign in")
	say[bool](v, `document.querySelector("main").insertAdjacentHTML("beforeend", "<img src=/static/icon.svg><input>"); true`)
	if found := v.faultsOfAccess(); !strings.Contains(found, "image-alt") || !strings.Contains(found, "label") {
		t.Errorf("a picture and a field without words are found as %q", found)
	}
	say[bool](v, `document.querySelector("main").insertAdjacentHTML("beforeend", "<p class=whole>"+"wide".repeat(200)+"</p>"); true`)
	if wide := v.wide(); wide <= v.width {
		t.Errorf("a line that sticks out leaves the page %d px wide", wide)
	}
	script := `new Promise(done => { addEventListener("securitypolicyviolation", () => done(true)); document.querySelector("main").setAttribute("onclick", "1"); document.querySelector("main").insertAdjacentHTML("beforeend", "<b style='color:red'>") })`
	if !say[bool](v, script) {
		t.Error("an inline style is allowed")
	}
	say[bool](v, `console.error("heard"); true`)
	if heard := fmt.Sprint(v.listen()); !strings.Contains(heard, "heard") || !strings.Contains(heard, "Content Security Policy") {
		t.Errorf("heard on the console: %s", heard)
	}
}

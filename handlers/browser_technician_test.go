package handlers

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"spanroom/internal/demo"
)

const usualRound = `a[href="/checkouts/new?round=stoke"]`

// technicianTakes: a usual round, one pick with its reasons, in use, bring back, and what the cylinder's page says then.
func technicianTakes(t *testing.T, b *browser) {
	_, address := b.house(t)
	v := b.visit(t, address, desktop)
	v.signIn("technician A")
	v.click(`.ways a[href="/checkouts/new"]`)
	v.look("take")
	v.click(usualRound)
	tag := lookAtPick(v)
	from := say[string](v, `document.querySelector("p.name strong").textContent`)
	v.click("#take button.main")
	v.look("in use")
	v.says("h1", "In use", tag)
	v.unfold("#test details")
	v.put("instrument", "D-001")
	v.put("as_found", "H2S 24.0 ppm")
	v.click("#test button.main")
	v.says("#log", "D-001", "pass")
	v.look("in use with a test")
	v.click(`a[href$="/return"]`)
	v.look("bring back")
	v.put("pressure", expectedPressure(v))
	v.unfold("#back details")
	v.put("tests.0.instrument", "D-002")
	v.do(chromedp.SetValue(chromedp.CSS(boxNamed("tests.0.procedure")), "bump-q4"))
	v.click("#back button.main")
	v.says("main", "as expected", "D-001", "D-002")
	v.look("what came of it")
	v.click(`main a[href="/cylinders/` + tag + `"]`)
	v.says("article.card", tag, from, "part used")
	v.says(".ledger", "technician A", "return: put at "+from)
	v.look("cylinder that is back")
}

// lookAtPick demands one pick with its reasons, and that what matters is seen without scrolling.
func lookAtPick(v *visitor) (tag string) {
	v.t.Helper()
	v.look("pick")
	v.says("main", "label must read", "H2S", "use by", "limited by", "about", "at least", "nothing against it", "with R-")
	if v.count("p.figure") != 1 || v.count("button.main") != 1 {
		v.t.Error("it is not one pick with one button")
	}
	if hidden := say[string](v, unseen); hidden != "" {
		v.t.Errorf("at %v it takes scrolling to see %s", v.screen, hidden)
	}
	return say[string](v, `document.querySelector("p.figure").textContent.trim()`)
}

// unseen lists what matters of a pick and is not in view, or is under the button at the edge.
const unseen = `["p.figure", ".useby", ".gasbar", "p.verdicts", "#take button.main"].filter(s => {
	const box = document.querySelector(s).getBoundingClientRect(), x = box.left + box.width / 2, y = box.bottom - 2;
	return scrollY > 0 || y > innerHeight || !document.querySelector(s).contains(document.elementFromPoint(x, y)) && document.elementFromPoint(x, y) !== document.querySelector(s).parentElement;
}).join(", ")`

var bars = regexp.MustCompile(`about ([\d.]+) bar`)

func expectedPressure(v *visitor) string {
	v.t.Helper()
	found := bars.FindStringSubmatch(say[string](v, `document.querySelector("main").innerText`))
	if found == nil {
		v.t.Fatal("no pressure is expected")
	}
	return found[1]
}

// technicianTypes goes the same way with nothing but keys, on a phone, and ends it as a scanner does.
func technicianTypes(t *testing.T, b *browser) {
	_, address := b.house(t)
	v := b.visit(t, address, phone)
	v.open("/")
	v.tabTo(boxNamed("name"))
	v.keys("technician A" + kb.Tab + demo.Password)
	v.tabTo("main button.main")
	v.enter()
	v.tabTo(`.ways a[href="/checkouts/new"]`)
	v.enter()
	v.look("take")
	v.tabTo(usualRound)
	v.enter()
	tag := lookAtPick(v)
	v.tabTo("#take button.main")
	v.enter()
	v.isTold("✓ " + tag + " is with technician A")
	v.tabTo(boxNamed("instrument"))
	v.keys("D-001")
	v.enter()
	v.says("#log", "D-001", "pass")
	v.isTold("✓ D-001: bump-q4, pass")
	v.tabTo(boxNamed("result") + `[value="pass"]`)
	v.keys(kb.ArrowRight)
	v.follow(chromedp.KeyEvent("D-002" + kb.Enter)) // by the scanner, whatever has the focus
	v.says("#log", "D-002", "fail")
	v.isTold("■ stop D-002: bump-q4, fail. bump-q4 failed: tag it and take it out of use now")
	v.look("in use with a test")
	v.tabTo(`a[href$="/return"]`)
	v.enter()
	v.look("bring back")
	v.keys(expectedPressure(v))
	v.tabTo("#back button.main")
	v.enter()
	v.says("main", "as expected")
	v.look("what came of it")

	v.follow(chromedp.KeyEvent(tag + kb.Enter))
	if at := say[string](v, `location.pathname`); at != "/cylinders/"+tag {
		t.Errorf("a scan of %s leads to %s", tag, at)
	}
	v.says("article.card", tag, "part used")
	v.look("cylinder that was scanned")
}

// isTold demands that the notice says this and is in view, also where the box for what comes next is not.
func (v *visitor) isTold(words string) {
	v.t.Helper()
	v.says(".notice", words)
	if top := say[float64](v, `document.querySelector(".notice").getBoundingClientRect().top`); top < 0 {
		v.t.Errorf("%q is scrolled away by %v", words, -top)
	}
}

func (v *visitor) keys(words string) {
	v.t.Helper()
	v.do(chromedp.KeyEvent(words))
}

// enter presses Enter and goes where that leads.
func (v *visitor) enter() {
	v.t.Helper()
	v.follow(chromedp.KeyEvent(kb.Enter))
}

const mostTabs = 60

// focused tells whether the focus is where it should be (there), on something that shows it and is not covered (seen), or not.
const focused = `(() => { const e = document.activeElement, box = e.getBoundingClientRect(), style = getComputedStyle(e);
	const inView = box.bottom > 0 && box.top < innerHeight;
	const top = document.elementFromPoint(box.left + box.width / 2, Math.min(Math.max(box.top + box.height / 2, 1), innerHeight - 2));
	const seen = inView && style.outlineStyle === "solid" && parseFloat(style.outlineWidth) >= 2 && (e.contains(top) || top?.contains(e));
	return (e.matches(%s) ? "there " : "") + (seen ? "seen" : "not seen: " + e.outerHTML.slice(0, 200)) })()`

// tabTo presses Tab until the focus is on what is selected; wherever it passes it must be seen.
func (v *visitor) tabTo(selector string) {
	v.t.Helper()
	for range mostTabs {
		where := say[string](v, fmt.Sprintf(focused, quoted(selector)))
		if strings.Contains(where, "not seen") && !strings.Contains(where, "<body") {
			v.t.Errorf("the focus is %s", where)
		}
		if strings.HasPrefix(where, "there") {
			return
		}
		v.keys(kb.Tab)
	}
	v.fail(fmt.Errorf("no Tab leads to %s", selector))
}

// technicianHasNoScripts takes a cylinder and brings it back with scripts switched off.
func technicianHasNoScripts(t *testing.T, b *browser) {
	_, address := b.house(t)
	v := b.visit(t, address, phone)
	v.do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		_, err := cdp.Call(ctx, tab, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}))
	v.open("/")
	v.do(chromedp.SendKeys(chromedp.CSS(boxNamed("name")), "technician A"), chromedp.SendKeys(chromedp.CSS(boxNamed("password")), demo.Password))
	v.click("main button.main")
	v.click(`.ways a[href="/checkouts/new"]`)
	v.click(usualRound)
	v.click("#take button.main")
	v.do(chromedp.SendKeys(chromedp.CSS(boxNamed("instrument")), "D-001"))
	v.click("#test button.main")
	v.click(`a[href$="/return"]`)
	text, err := run(v, chromedp.Text(chromedp.CSS("main")))
	if err != nil {
		t.Fatal(err)
	}
	if add, err := run(v, chromedp.AttributeValue(chromedp.CSS("[data-rows]"), "hidden")); err != nil || !add.Exists {
		t.Errorf("scripts run: what they reveal is shown (%v)", err)
	}
	v.do(chromedp.SendKeys(chromedp.CSS(boxNamed("pressure")), bars.FindStringSubmatch(text)[1]))
	v.click("#back button.main")
	if text, err = run(v, chromedp.Text(chromedp.CSS("main"))); err != nil || !strings.Contains(text, "as expected") {
		t.Errorf("%v, the page says %s", err, text)
	}
}

package views

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"spanroom/internal/store/storetest"
)

// formPage has what the modules work on: a problem, fields, a field that takes scans, repeated rows and two forms.
const formPage = `
{{define "row"}}<div class="row" data-row><h3>Cylinder <span data-row-number>{{rownumber .row}}</span></h3>
{{template "field" (field .page (printf "cylinders.%v.serial" .row) "label" "Serial" "hint" "on the shoulder")}}
{{template "row-remove" "this cylinder"}}</div>{{end}}
{{define "main"}}
<form id="order" method="post" data-scanner>{{template "keys" $}}
{{template "field" (field $ "lot" "label" "Lot")}}
{{template "field" (field $ "place" "label" "Place")}}
{{template "field" (field $ "pressure" "label" "Pressure" "kind" "quantity" "units" (list "bar" "psi"))}}
{{template "field" (field $ "filled_on" "label" "Filled on" "kind" "date")}}
{{template "field" (field $ "at" "label" "Put at" "kind" "select" "options" (list "BENCH" "CAGE" "VAN-1"))}}
{{if .Answer}}{{template "field" (field $ "cylinder" "label" "Cylinder" "scan" "cylinder text")}}
<details id="folded"><summary>With it</summary>{{template "field" (field $ "tap" "label" "Regulator" "kind" "select" "options" (list "R-01" "R-03") "scan" "regulator")}}
{{template "field" (field $ "serials" "label" "Serials" "kind" "textarea" "scan" "serial text")}}</details>{{end}}
<div data-rows-of="cylinders">{{range rows $ "cylinders" 2}}{{template "row" (dict "page" $ "row" .)}}{{end}}</div>
<template data-row-of="cylinders">{{template "row" (dict "page" $ "row" "#")}}</template>
{{template "row-add" (dict "of" "cylinders" "text" "Add a cylinder")}}
{{template "button" (button "Receive 8")}}
</form>
{{range seq 1 2}}{{template "card" (card $ "tag" "7F3K-2ABW" "name" "four-gas, Q4" "components" (list "CH4 2.5 %vol" "O2 18 %vol" "CO 100 ppm") "gas" (gasbar "usable" 22.1 "low" 18.2))}}{{end}}
<table class="rows">{{template "table-head" (table $ (column "lot" "Lot") (column "by" "Order by") (column "cost" "Cost" "num"))}}
<tbody><tr><th scope="row" data-label="Lot">7K-2206-LONG-LOT-NUMBER</th><td data-label="Order by">{{date "2027-03-03"}}</td><td data-label="Cost" class="num">{{money "126000.00 EUR"}}</td></tr></tbody></table>
{{template "label" (label "tag" "7F3K-2ABW" "useby" "2027-04-10")}}
{{template "cautions" (cautions 8 3)}}
{{end}}`

// helpers type as a scanner or as a hand does, and say whether the page kept a key from its usual way.
const helpers = `
window.press = (key, target = document.activeElement, more = {}) => !target.dispatchEvent(new KeyboardEvent("keydown", {key, bubbles: true, cancelable: true, ...more}));
window.scan = (text) => { for (const key of text) press(key); return press("Enter"); };
window.field = (id) => document.querySelector("#f-" + id);
window.typeSlowly = async (text) => { for (const key of text) { press(key); await new Promise(done => setTimeout(done, 130)); } return press("Enter"); };
window.names = () => [...document.querySelectorAll("[data-row] input")].map(i => i.name + " " + i.id + " " + i.getAttribute("aria-describedby") + " " + i.labels.length).join("; ");
document.activeElement.blur(); true`

// TestInABrowser runs the modules and the stylesheet in Chromium, opened once.
func TestInABrowser(t *testing.T) {
	ctx := browser(t)
	for name, check := range map[string]func(*testing.T, context.Context){
		"scanner on any screen":             scannerOnAnyScreen,
		"scanner with another control":      scannerWithAnotherControl,
		"scanner types FNC1":                scannerTypesFNC1,
		"scanner fills the pages own field": scannerFillsThePagesOwnField,
		"scanner in a form for scanners":    scannerInAFormForScanners,
		"rows are added and removed":        rowsAreAddedAndRemoved,
		"form is sent once":                 formIsSentOnce,
		"problem takes the focus":           problemTakesTheFocus,
		"nothing scrolls sideways":          nothingScrollsSideways,
	} {
		t.Run(name, func(t *testing.T) { check(t, ctx) })
	}
}

func browser(t *testing.T) context.Context {
	t.Helper()
	path := storetest.Need(t, "SPANROOM_TEST_CHROMIUM")
	ctx, cancel := chromedp.NewContext(t.Context(), chromedp.WithAllocatorOptions(chromedp.ExecPath(path), chromedp.NoSandbox))
	t.Cleanup(cancel)
	ctx, stop := context.WithTimeout(ctx, time.Minute)
	t.Cleanup(stop)
	return ctx
}

// site serves the try page under the content security policy of the program.
func site(t *testing.T, p Page) string {
	t.Helper()
	set, err := Load(directory(t, formPage))
	if err != nil {
		t.Fatal(err)
	}
	p.Name = "try"
	mux := http.NewServeMux()
	mux.HandleFunc("GET /static/{name}", func(w http.ResponseWriter, r *http.Request) {
		content, mime, _, ok := Static(r.PathValue("name"))
		if !ok {
			w.WriteHeader(http.StatusNotFound)
		}
		w.Header().Set("Content-Type", mime)
		_, _ = w.Write(content)
	})
	mux.HandleFunc("GET /scan", func(w http.ResponseWriter, r *http.Request) {
		_, _ = fmt.Fprintf(w, "%q", r.FormValue("text")) // a browser would take the separator for a file to keep
	})
	mux.HandleFunc("GET /api/v1/scan", func(w http.ResponseWriter, r *http.Request) {
		if err := json.NewEncoder(w).Encode(meaningOf(r.FormValue("text"))); err != nil {
			t.Error(err)
		}
	})
	mux.HandleFunc("POST /", func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) }) // the page stays
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Security-Policy", "default-src 'self'; style-src 'self'; script-src 'self'; img-src 'self' data:")
		var out bytes.Buffer
		if err := set.Render(&out, p); err != nil {
			t.Error(err)
		}
		_, _ = out.WriteTo(w)
	})
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return server.URL
}

func open(t *testing.T, ctx context.Context, address string) {
	t.Helper()
	if err := chromedp.Do(ctx, chromedp.Navigate(address)); err != nil {
		t.Fatal(err)
	}
}

func say[T any](t *testing.T, ctx context.Context, script string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%s: %v", script, err)
	}
	return v
}

var signedIn = Page{
	Title: "Goods in", Person: &Person{Name: "clerk B", Role: "clerk"},
	Nav: []Link{{Href: "/", Text: "Stores desk"}, {Href: "/receive", Text: "Goods in"}},
}

func rowsAreAddedAndRemoved(t *testing.T, ctx context.Context) {
	p := signedIn
	p.Typed = map[string]string{"cylinders.0.serial": "A", "cylinders.1.serial": "B"}
	address := site(t, p)
	open(t, ctx, address)
	say[bool](t, ctx, helpers)
	row := func(n string) string {
		return "cylinders." + n + ".serial f-cylinders-" + n + "-serial f-cylinders-" + n + "-serial-hint 1"
	}
	say[bool](t, ctx, `document.querySelector("[data-rows]").click(); true`)
	if got, want := say[string](t, ctx, `names()`), row("0")+"; "+row("1")+"; "+row("2"); got != want {
		t.Errorf("after adding\n%s, want\n%s", got, want)
	}
	if got := say[string](t, ctx, `document.activeElement.name`); got != "cylinders.2.serial" {
		t.Errorf("the cursor is in %q", got)
	}
	say[bool](t, ctx, `document.querySelector("[data-row] [data-remove]").click(); true`)
	if got, want := say[string](t, ctx, `names()`), row("0")+"; "+row("1"); got != want {
		t.Errorf("after removing\n%s, want\n%s", got, want)
	}
	if got := say[string](t, ctx, `[...document.querySelectorAll("[data-row]")].map(r => r.querySelector("[data-row-number]").textContent + r.querySelector("input").value).join()`); got != "1B,2" {
		t.Errorf("left are %q", got)
	}
}

func formIsSentOnce(t *testing.T, ctx context.Context) {
	address := site(t, signedIn)
	open(t, ctx, address)
	const asleep = `new Promise(done => setTimeout(() => done(document.querySelector("button.main").disabled), 50))`
	if say[bool](t, ctx, asleep) {
		t.Fatal("the button sleeps before anything is sent")
	}
	if !say[bool](t, ctx, `document.querySelector("button.main").click(); `+asleep) {
		t.Error("a second tap would send the form again")
	}
	if say[bool](t, ctx, `dispatchEvent(new PageTransitionEvent("pageshow")); `+asleep) {
		t.Error("back on the page, the form cannot be sent again")
	}
}

func problemTakesTheFocus(t *testing.T, ctx context.Context) {
	p := signedIn
	p.Problem = &Problem{Title: "Nothing is received yet", Fields: []Field{{Name: "lot", Text: "it is missing"}}}
	address := site(t, p)
	open(t, ctx, address)
	if got := say[string](t, ctx, `document.activeElement.id`); got != "problem" {
		t.Errorf("the focus is on %q", got)
	}
	if got := say[string](t, ctx, `document.querySelector("#problem a").click(); document.activeElement.id`); got != "f-lot" {
		t.Errorf("the link leads to %q", got)
	}
}

func nothingScrollsSideways(t *testing.T, ctx context.Context) {
	p := signedIn
	p.Notice = "8 cylinders received"
	p.Problem = &Problem{Title: "Nothing is received yet", Fields: []Field{{Name: "certificate.values.1.amount", Text: "say the unit"}}}
	address := site(t, p)
	defer func() {
		if err := chromedp.Do(ctx, chromedp.ResetViewport()); err != nil {
			t.Error(err)
		}
	}()
	for _, width := range []int64{320, 360, 640, 768, 960, 1280, 1920} {
		if err := chromedp.Do(ctx, chromedp.EmulateViewport(width, 800), chromedp.Navigate(address)); err != nil {
			t.Fatal(err)
		}
		if got := say[int64](t, ctx, `document.documentElement.scrollWidth`); got > width {
			t.Errorf("at %d px the page is %d px wide", width, got)
		}
		if got := say[string](t, ctx, `[...document.querySelectorAll("main button, main input:not([type=hidden]), main select, header button, header input:not([type=hidden])")].filter(e => e.offsetParent && e.getBoundingClientRect().height < 43.9).map(e => e.outerHTML).join()`); got != "" {
			t.Errorf("at %d px these controls are lower than 44 px: %s", width, got)
		}
	}
}

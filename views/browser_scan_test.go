package views

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"
)

// meaningOf is what the site of these tests knows: regulators, one of which is a place too, a cylinder, and nothing else.
func meaningOf(text string) map[string]any {
	meaning := func(kind, url string) map[string]any {
		return map[string]any{"kind": kind, "code": text, "words": kind + " " + text, "url": url, "choices": []any{}}
	}
	switch {
	case text == "R-03":
		m := meaning("several", "")
		m["choices"] = []any{meaning("place", "/cylinders?place=R-03"), meaning("regulator", "/regulators/R-03")}
		return m
	case strings.HasPrefix(text, "R-"):
		return meaning("regulator", "/regulators/"+text)
	case strings.HasPrefix(text, "D-"):
		return meaning("instrument", "/instruments/"+text)
	case text == "7F3K-2ABW":
		return meaning("cylinder", "/cylinders/"+text)
	}
	return meaning("text", "/cylinders?q="+text)
}

// comes waits until a script says what is wanted.
func comes(t *testing.T, ctx context.Context, script, want string) {
	t.Helper()
	var got string
	for tries := 0; tries < 150; tries++ {
		if got = say[string](t, ctx, script); got == want {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Errorf("%s is %q, want %q", script, got, want)
}

const (
	landed = `location.pathname + " " + document.body.textContent`
	heard  = `document.querySelector(".heard").innerText`
)

func scannerOnAnyScreen(t *testing.T, ctx context.Context) {
	open(t, ctx, site(t, signedIn))
	say[bool](t, ctx, helpers)
	if say[bool](t, ctx, `typeSlowly("7F3K")`) || say[bool](t, ctx, `scan("7F3")`) {
		t.Error("a hand that types, or three signs, were taken for a scan")
	}
	say[bool](t, ctx, `field("lot").focus(); true`)
	if say[bool](t, ctx, `press("7")`) || say[bool](t, ctx, `document.querySelector("#scan-text").focus(); scan("7F3K-2ABW")`) {
		t.Error("typing in a field was disturbed")
	}
	say[bool](t, ctx, `document.activeElement.blur(); true`)
	if say[bool](t, ctx, `for (const key of "7F3K") press(key); new Promise(done => setTimeout(() => done(press("Enter")), 150))`) {
		t.Error("an Enter long after the signs was taken for their end")
	}
	if say[bool](t, ctx, `press(" ")`) || !say[bool](t, ctx, `press("A"); press(" ")`) {
		t.Error("a space alone is the page's own, a space inside a scan must press no button")
	}
	if say[bool](t, ctx, `new Promise(done => setTimeout(() => done([false, true, true, true].some((repeat) => press(" ", document.body, {repeat})) || press("Enter")), 150))`) {
		t.Error("a key that is held down was taken for a scan")
	}
	if !say[bool](t, ctx, `new Promise(done => setTimeout(() => done(scan("01 04/12")), 150))`) {
		t.Fatal("a scan without the focus in a field was not heard")
	}
	comes(t, ctx, landed, `/scan "01 04/12"`)
}

// With the focus on something that takes no text a scan is heard as well, and leaves what was chosen there.
func scannerWithAnotherControl(t *testing.T, ctx context.Context) {
	for _, control := range []struct{ focus, during, after string }{
		{`document.querySelector("button.main").focus()`, `true`, ``},
		{`document.querySelector("nav a").focus()`, `true`, ``},
		{`field("at").value = "CAGE"; field("at").focus()`, `field("at").value = "VAN-1"`, `field("at").value === "CAGE"`},
		{`field("filled_on").value = "2027-03-03"; field("filled_on").focus()`, `field("filled_on").value = "2028-02-17"`, `field("filled_on").value === "2027-03-03"`},
	} {
		open(t, ctx, site(t, signedIn))
		say[bool](t, ctx, helpers)
		say[bool](t, ctx, control.focus+`; press("v")`)
		if control.after != "" && say[bool](t, ctx, `press("a")`) {
			t.Errorf("after %s a hand that types fast was disturbed", control.focus)
		}
		// What the keys do to the control, the browser does itself; here it is done in the middle of the scan.
		kept := say[bool](t, ctx, `new Promise(done => setTimeout(() => { press("V"); `+control.during+`; scan("AN-17"); done(`+orTrue(control.after)+`); }, 150))`)
		if !kept {
			t.Errorf("after %s the scan changed what was there", control.focus)
		}
		comes(t, ctx, landed, `/scan "VAN-17"`)
	}
}

func orTrue(script string) string {
	if script == "" {
		return "true"
	}
	return script
}

// The separator comes as itself, as Ctrl and ], or as Alt and its number; in a field and on the page.
func scannerTypesFNC1(t *testing.T, ctx context.Context) {
	ways := map[string]string{
		"as itself":   `press("\u001d")`,
		"as Ctrl+]":   `press("]", document.activeElement, {ctrlKey: true})`,
		"as Alt+029":  `press("Alt", document.activeElement, {altKey: true}); for (const key of "029") press(key, document.activeElement, {altKey: true}); document.activeElement.dispatchEvent(new KeyboardEvent("keyup", {key: "Alt", bubbles: true}))`,
		"with AltGr ": `press("AltGraph"); press("\u001d", document.activeElement, {ctrlKey: true, altKey: true, modifierAltGraph: true})`,
	}
	for name, way := range ways {
		open(t, ctx, site(t, signedIn))
		say[bool](t, ctx, helpers)
		say[bool](t, ctx, `field("lot").focus(); field("lot").value = "10A"; field("lot").setSelectionRange(3, 3); `+way+`; true`)
		if got := say[string](t, ctx, `field("lot").value`); got != "10A\x1d" {
			t.Errorf("%s a field gets %q", name, got)
		}
		say[bool](t, ctx, `document.activeElement.blur(); new Promise(done => setTimeout(() => { for (const key of "10A-2") press(key); `+way+`; done(scan("21B-3")); }, 150))`)
		comes(t, ctx, landed, `/scan "10A-2\x1d21B-3"`)
	}
	open(t, ctx, site(t, signedIn))
	say[bool](t, ctx, helpers)
	if say[bool](t, ctx, `for (const key of "ABCD") press(key); press("Alt", document.activeElement, {altKey: true}); press("4", document.activeElement, {altKey: true}); press("Tab"); press("Enter")`) {
		t.Error("keys for the browser were taken for a scan")
	}
}

func scannerFillsThePagesOwnField(t *testing.T, ctx context.Context) {
	p := signedIn
	p.Answer = true
	open(t, ctx, site(t, p))
	say[bool](t, ctx, helpers)
	values := func(want string) {
		t.Helper()
		comes(t, ctx, `[field("cylinder").value, field("tap").value, field("serials").value].join()`, want)
	}
	say[bool](t, ctx, `press("0"); press("1"); press("]", document.activeElement, {ctrlKey: true}); scan("21A")`)
	values("01\x1d21A,R-01,")
	say[bool](t, ctx, `scan("CYL-1"); scan("CYL-2"); scan("CYL-1")`) // the first field is full, the list takes each once
	values("01\x1d21A,R-01,CYL-1\nCYL-2")
	if !say[bool](t, ctx, `document.querySelector("#folded").open`) {
		t.Error("what was filled in is folded away")
	}
	say[bool](t, ctx, `scan("R-03")`) // a place too, but the page asks for a regulator alone
	values("01\x1d21A,R-03,CYL-1\nCYL-2")
	for text, want := range map[string]string{
		"R-09":      "regulator R-09: it is not among what can be chosen here.",
		"D-001":     "Go to instrument D-001",
		"7F3K-2ABW": "Go to cylinder 7F3K-2ABW",
	} {
		say[bool](t, ctx, fmt.Sprintf("scan(%q)", text))
		comes(t, ctx, heard+fmt.Sprintf(`.includes(%q) ? "said" : %s`, want, heard), "said")
	}
	values("01\x1d21A,R-03,CYL-1\nCYL-2")
}

func scannerInAFormForScanners(t *testing.T, ctx context.Context) {
	open(t, ctx, site(t, signedIn))
	say[bool](t, ctx, helpers)
	say[bool](t, ctx, `field("lot").focus(); true`)
	if !say[bool](t, ctx, `scan("7K-2206")`) || say[string](t, ctx, `document.activeElement.id`) != "f-place" {
		t.Error("the Enter of a scanner did not go on to the next field")
	}
	if say[bool](t, ctx, `typeSlowly("AB")`) {
		t.Error("the Enter of a hand was kept from sending the form")
	}
	say[bool](t, ctx, `document.addEventListener("scan", (event) => { window.taken = event.detail.text; event.preventDefault(); }); field("lot").value = "9"; field("lot").focus(); true`)
	if !say[bool](t, ctx, `new Promise(done => setTimeout(() => { press("0"); field("lot").value = "90"; done(scan("10A7")); }, 150))`) {
		t.Error("a scan that a module takes sends the form")
	}
	if got := say[string](t, ctx, `window.taken + " " + field("lot").value + " " + document.activeElement.id`); got != "010A7 9 f-lot" {
		t.Errorf("a scan that a module takes leaves %q", got)
	}
}

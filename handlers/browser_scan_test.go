package handlers

import (
	"encoding/json"
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"spanroom/internal/auth"
)

// gtinQ4 is what stands under the bar code of four-gas once the purchaser has entered it.
const gtinQ4 = "09521234543213"

// knowsGTIN enters the GTIN with the source of four-gas.
func (h *house) knowsGTIN() {
	h.t.Helper()
	item := h.must(auth.Supervisor, "GET", "/items/Q4", "")
	item["sources"].([]any)[0].(map[string]any)["gtin"] = gtinQ4
	body, err := json.Marshal(item)
	if err != nil {
		h.t.Fatal(err)
	}
	h.must(auth.Supervisor, "POST", "/items/Q4", string(body))
}

// wedge types as a scanner does into whatever has the focus, and says whether the page took the Enter at its end. Signs that
// the page leaves alone stand in a text field, as a browser would have it. It runs in the page: keys that come over a busy
// wire have pauses that no scanner makes.
const wedge = `(text => {
	const press = (key) => !document.activeElement.dispatchEvent(new KeyboardEvent("keydown", {key, bubbles: true, cancelable: true}));
	for (const key of text) {
		const field = document.activeElement;
		if (!press(key) && typeof field.selectionStart === "number") field.setRangeText(key, field.selectionStart, field.selectionEnd, "end");
	}
	return press("Enter");
})(%s)`

// scans types a text as a scanner does once the page is there, a while after whatever was typed before.
func (v *visitor) scans(text string) {
	v.t.Helper()
	v.comes(`document.readyState + " " + document.querySelectorAll(".heard").length`, "complete 1")
	if !say[bool](v, fmt.Sprintf(`new Promise(done => setTimeout(() => done(`+wedge+`), 150))`, quoted(text))) {
		v.t.Errorf("the scan of %q is not heard", text)
	}
}

// comes waits until the page answers a script as it should; between two pages there is no answer.
func (v *visitor) comes(script, want string) {
	v.t.Helper()
	var got string
	var err error
	for end := time.Now().Add(longestStep); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if got, err = run(v, chromedp.Evaluate[string](script)); err == nil && got == want {
			return
		}
	}
	v.t.Errorf("%s is %q, want %q (%v)", script, got, want, err)
}

// hears waits until the page says of a scan what it should.
func (v *visitor) hears(words ...string) {
	v.t.Helper()
	for _, want := range words {
		v.comes(fmt.Sprintf(`(text => text.includes(%s) ? "said" : text)(document.querySelector(".heard").innerText)`, quoted(want)), "said")
	}
}

func (v *visitor) blur() {
	v.t.Helper()
	say[bool](v, `document.activeElement.blur(); true`)
}

// at is where the visitor is, once all of the page is there.
const at = `document.readyState === "complete" ? location.pathname + location.search : ""`

// scannerIsHeard: on any page, with the focus on nothing or on a control, a scan leads to what it means.
func scannerIsHeard(t *testing.T, b *browser) {
	h, address := b.house(t)
	v := b.visit(t, address, phone)
	v.carry(h.session(auth.Clerk))
	tag := h.first("/cylinders", "tag")
	for _, page := range []struct{ path, focus string }{
		{"/", `document.activeElement.blur()`}, {"/ledger", `document.querySelector(".menu-button").focus()`}, {"/catalogue", `document.querySelector("main a").focus()`},
	} {
		v.open(page.path)
		say[bool](v, page.focus+`; true`)
		v.scans(tag)
		v.comes(at, "/cylinders/"+tag)
	}
	v.open("/cylinders")
	say[bool](v, `document.querySelector("main details").open = true; document.querySelector("#f-stage").focus(); true`)
	v.scans("sealed-7")
	v.comes(at, "/cylinders?stage=all&q=sealed-7")
	v.scans("(17)271345")
	v.comes(at, "/scan?text=(17)271345")
	v.says("main", "This code cannot be used", "month 13", "Nothing is saved")
	v.look("a scan that is refused")
	v.scans("01" + gtinQ4 + "107K-220617271001")
	v.comes(`document.querySelector("h1")?.innerText ?? ""`, "Which is it?")
	v.look("a scan of two readings")
	v.click(".rounds li:last-child a")
	v.comes(`location.pathname`, "/cylinders")
}

// clerkScansLabels: goods in of two cylinders with their labels, a scanner that drops the separators, a wrong date, and a shelf.
func clerkScansLabels(t *testing.T, b *browser) {
	h, address := b.house(t)
	h.knowsGTIN()
	v := b.visit(t, address, phone)
	v.carry(h.session(auth.Clerk))
	v.open("/")
	v.scans("01" + gtinQ4 + "17280200" + "11270110" + "109C-1044\x1d21NB-1")
	v.comes(at, "/receipts/new?filled_on=2027-01-10&item=Q4&label_expires_on=2028-02-29&lot=9C-1044&serials=NB-1&supplier=northbank")
	v.says("main", "Read from the label: lot 9C-1044, expiry 29 Feb 2028, produced 10 Jan 2027, serial NB-1", "Q4")
	v.look("goods in from a label")
	holds := func(want string) {
		t.Helper()
		v.comes(`["supplier", "lot", "label_expires_on", "filled_on", "serials", "place"].map(name => document.querySelector("#order").elements[name].value).join(" ")`, want)
	}
	const read = "northbank 9C-1044 2028-02-29 2027-01-10 NB-1"
	holds(read + " ")
	v.scans("]C101" + gtinQ4 + "109C-1044\x1d21NB-2")
	v.hears("Read: item Q4, lot 9C-1044, serial NB-2")
	v.look("goods in with a second label")
	say[bool](v, `document.querySelector("#f-lot").focus(); true`)
	v.scans("(01)" + gtinQ4 + "(10)9C-1044(21)NB-2")
	v.hears("Serial NB-2 is on the list already")
	v.scans("(01)" + gtinQ4 + "(10)9C-1045(21)NB-9")
	v.hears("The label is of lot 9C-1045, and this form is for 9C-1044")
	v.scans("(17)271345")
	v.hears("Nothing is filled in", "month 13")
	v.blur()
	v.scans("01" + gtinQ4 + "109C-104417280200")
	v.hears("may hold more than one element")
	v.look("goods in with two readings")
	v.do(chromedp.Click(chromedp.CSS(`.heard button:last-of-type`), chromedp.NodeVisible))
	v.hears("Read: item Q4, lot 9C-1044, expiry 29 Feb 2028")
	v.scans(h.first("/cylinders", "tag"))
	v.hears("Go to cylinder")
	v.scans("cage")
	holds(read + "\nNB-2 CAGE")
	v.put("counted", "2")
	v.says("[data-receive] button", "Receive 2")
	if status := v.click("[data-receive] button"); status != 200 {
		t.Errorf("status %d", status)
	}
	v.says("main", "2 of four-gas", "9C-1044", "29 Feb 2028")
}

// clerkScansBitByBit: the codes of one label one after the other, the item's unknown, and a date into its field.
func clerkScansBitByBit(t *testing.T, b *browser) {
	h, address := b.house(t)
	v := b.visit(t, address, phone)
	v.carry(h.session(auth.Clerk))
	v.open("/receipts/new")
	v.scans("(01)" + gtinQ4 + "(10)9C-1044")
	v.comes(at, "/receipts/new?"+url.Values{"gtin": {gtinQ4}, "lot": {"9C-1044"}}.Encode())
	v.says("main", "No item has the GTIN "+gtinQ4, "Read from the label: lot 9C-1044")
	v.look("goods in of an unknown item")
	v.scans("northbank")
	v.set("item", "Q4")
	v.comes(`["supplier", "item"].map(name => document.querySelector("#what").elements.namedItem(name).value).join(" ")`, "northbank Q4")
	v.click("#what button")
	v.comes(`document.querySelector("#f-lot").value`, "9C-1044")
	say[bool](v, `document.querySelector("#f-label_expires_on").focus(); true`)
	v.scans("17271345")
	v.comes(`document.activeElement.name`, "valid_months") // the scanner's Enter sends nothing
	v.put("counted", "1")
	v.set("place", "CAGE")
	if status := v.click("[data-receive] button"); status != 422 {
		t.Errorf("month 13: status %d", status)
	}
	v.says("#f-label_expires_on-fault", "month 13")
	say[bool](v, `document.querySelector("#f-label_expires_on").select(); true`)
	say[bool](v, `document.querySelector("#f-label_expires_on").focus(); true`)
	v.scans("17280200")
	if status := v.click("[data-receive] button"); status != 200 {
		t.Errorf("day 00: status %d", status)
	}
	v.says("main", "29 Feb 2028")
}

// technicianScansOnTheWay: another cylinder in the hand, the regulator, and monitors that are tested.
func technicianScansOnTheWay(t *testing.T, b *browser) {
	h, address := b.house(t)
	v := b.visit(t, address, phone)
	v.carry(h.session(auth.Technician))
	v.open("/")
	v.scans("stoke")
	v.comes(at, "/checkouts/new?round=stoke")
	v.says("p.figure", "-")
	first := say[string](v, `document.querySelector("p.figure").textContent.trim()`)
	other := say[string](v, `document.querySelector('form input[name="cylinder"][value]:not([value="`+first+`"])').value`)
	v.scans(strings.ToLower(other))
	v.comes(`document.querySelector("p.figure")?.textContent.trim() ?? ""`, other)
	regulator := say[string](v, `[...document.querySelector("#f-regulator").options].at(-1).value`)
	v.scans(regulator)
	v.comes(`document.querySelector("#f-regulator").value`, regulator)
	v.hears("Regulator: " + regulator)
	v.scans("(17)271345")
	v.hears("month 13")
	taken := h.must(auth.Technician, "POST", "/checkouts", `{"item":"Q4","cylinder":"`+first+`","tests":[{"procedure":"bump-q4","count":14}]}`)
	v.open(fmt.Sprint("/checkouts/", taken["id"]))
	v.blur()
	v.scans("D-001")
	v.comes(`document.querySelector("#log")?.innerText.includes("D-001") ? "logged" : ""`, "logged")
	v.comes(`document.activeElement.className`, "notice") // which the box would scroll away
	v.blur()
	v.scans(other)
	v.hears("Go to cylinder " + other)
}

package handlers

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// delivered is a delivery of four-gas as it is typed; the certificate's value of H2S has a typo.
var delivered = []struct{ field, words string }{
	{"lot", "9C-1044"}, {"label_expires_on", "28 Feb 2028"}, {"counted", "8"}, {"noted", "8"}, {"order", "PO 7741"},
	{"certificate.number", "C-9388"}, {"certificate.expires_on", "28 Feb 2028"},
	{"certificate.values.0.amount", "2.51"}, {"certificate.values.1.amount", "18.0"}, {"certificate.values.2.amount", "101"}, {"certificate.values.3.amount", "24,8x"},
}

// clerkReceives: goods in with a typo, receipt, labels, shelf, and then a cylinder is moved, held and released.
func clerkReceives(t *testing.T, b *browser, s screen) {
	_, address := b.house(t)
	v := b.visit(t, address, s)
	v.signIn("clerk")
	v.click(`.ways a[href="/receipts/new"]`)
	v.set("supplier", "northbank")
	v.set("item", "Q4")
	v.look("which item came")
	v.click("main button.main")
	v.look("goods in")
	typeDelivery(v)
	tags := mendDelivery(v)
	printLabels(v)
	v.open("/cylinders")
	v.put("q", "9C-1044")
	v.click("main form button")
	v.look("shelf")
	if got := v.count("table.rows tbody tr"); got != 8 {
		t.Errorf("%d cylinders of the lot on the shelf", got)
	}
	v.click(`table.rows a[href="/cylinders/` + tags[0] + `"]`)
	v.says("article.card", tags[0], "28 Feb 2028", "CAGE", "usable", "H2S 24.8 ppm")
	v.look("cylinder")
	moveHoldRelease(v)
}

func typeDelivery(v *visitor) {
	v.t.Helper()
	for _, d := range delivered {
		v.put(d.field, d.words)
	}
	v.set("filled_on", "2027-02-10")
	v.set("certificate.issued_on", "2027-02-15")
	v.set("place", "CAGE")
	v.says("[data-receive] button", "Receive 8")
	if status := v.click("[data-receive] button"); status != 422 {
		v.t.Errorf("a value that cannot be read: status %d", status)
	}
	v.look("goods in with a message")
	v.says("#problem", "H2S, certified")
	v.says("#f-certificate-values-3-amount-fault", "is not a unit")
	for _, d := range delivered {
		if got := v.value(d.field); got != d.words {
			v.t.Errorf("of %s is kept %q, typed was %q", d.field, got, d.words)
		}
	}
	if filled, place := v.value("filled_on"), v.value("place"); filled != "2027-02-10" || place != "CAGE" {
		v.t.Errorf("kept are %q and %q", filled, place)
	}
	beside := `(() => { const box = document.querySelector("#f-certificate-values-3-amount").getBoundingClientRect(), word = document.querySelector("#f-certificate-values-3-amount-fault").getBoundingClientRect(); return Math.round(word.top - box.bottom) })()`
	if gap := say[int](v, beside); gap < 0 || gap > 60 {
		v.t.Errorf("the message stands %d px below its field", gap)
	}
}

// mendDelivery corrects the typo by the link in the message, and gives the tags that came.
func mendDelivery(v *visitor) []string {
	v.t.Helper()
	v.do(chromedp.Click(chromedp.CSS(`#problem a[href="#f-certificate-values-3-amount"]`)))
	if at := say[string](v, `document.activeElement.name`); at != "certificate.values.3.amount" {
		v.t.Errorf("the message leads to %q", at)
	}
	v.put("certificate.values.3.amount", "24.8")
	if status := v.click("[data-receive] button"); status != 200 {
		v.fail(fmt.Errorf("status %d", status))
	}
	v.look("receipt")
	v.says("main", "8 of four-gas", "9C-1044", "SITE USE-BY 28 Feb 2028", "What the rules said")
	tags := strings.Fields(say[string](v, `[...document.querySelectorAll("table.rows .tag a")].map(a => a.textContent).join(" ")`))
	if len(tags) != 8 {
		v.t.Fatalf("the tags are %v", tags)
	}
	return tags
}

func printLabels(v *visitor) {
	v.t.Helper()
	v.says(".act a", "Print 8 labels")
	v.click(".act a")
	v.look("labels")
	if got := v.count(".label-58x40 .label-code svg"); got != 8 {
		v.t.Errorf("%d labels with a code", got)
	}
}

func moveHoldRelease(v *visitor) {
	v.t.Helper()
	v.unfold(`details:has(#move)`)
	v.do(chromedp.SetValue(chromedp.CSS(`#move [name="place"]`), "SHELF-A"))
	v.click("#move button")
	v.says("article.card", "SHELF-A")
	v.look("cylinder that was moved")

	v.unfold(`details:has(#hold)`)
	v.do(chromedp.SetValue(chromedp.CSS(`#hold [name="reason"]`), "Undated"), chromedp.SendKeys(chromedp.CSS(`#hold [name="text"]`), "the label came off in the rain"))
	v.click("#hold button")
	v.says("article.card", "do not use")
	v.says("main", "Undated", "the label came off in the rain")
	v.look("cylinder on hold")

	v.click(`a[href*="?release="]`)
	v.look("cylinder to be released")
	v.do(chromedp.SendKeys(chromedp.CSS(`#release [name="evidence"]`), "certificate C-9388 names it"))
	v.click("#release button")
	v.says("article.card", "usable")
	if v.count(`a[href*="?release="]`) != 0 {
		v.t.Error("the hold still stands")
	}
	v.says(".ledger", "hold released", "certificate C-9388 names it", "put at SHELF-A")
	v.look("cylinder that was released")
}

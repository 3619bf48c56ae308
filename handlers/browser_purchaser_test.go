package handlers

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// purchaserOrders: from the front page to the order table, the ways out of a line to decide, its use-by cliff, the workbook.
func purchaserOrders(t *testing.T, b *browser, s screen) {
	_, address := b.house(t)
	v := b.visit(t, address, s)
	v.signIn("purchaser")
	v.click(`.ways a[href="/reorder"]`)
	v.look("order table")
	v.says("ul.figures", "to decide", "to order now", "EUR")
	v.click(`#line-CL a`)
	v.look("order table with a line chosen")
	v.says("#line-CL", "decide")
	v.says("tr:has(+ tr ul.ways-out) + tr ul.ways-out", "buy 6 cylinders", "order nothing", "sister site")
	v.says("#cliff", "Use-by cliff of CL", "reorder level")
	picture := say[string](v, `(() => { const svg = document.querySelector("#cliff svg"), box = svg.getBoundingClientRect(); return box.width >= 300 && box.height >= 150 ? svg.getAttribute("aria-label") : "too small" })()`)
	if !strings.Contains(picture, "expire unused") {
		t.Errorf("the cliff's picture says %q", picture)
	}
	v.unfold("tbody:has(#line-CL) details")
	v.look("order table with a line explained")
	workbook := say[string](v, `fetch(document.querySelector(".act a").href).then(async r => [r.status, r.headers.get("content-type"), r.headers.get("content-disposition"), new TextDecoder().decode((await r.arrayBuffer()).slice(0, 4))].join("|"))`)
	const kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
	if !strings.HasPrefix(workbook, "200|"+kind+"|attachment; filename=") || !strings.HasSuffix(workbook, "|PK\x03\x04") {
		t.Errorf("the workbook comes as %q", workbook)
	}
}

// coloursOfTheNight looks at pages in the dark scheme, where the contrast is another.
func coloursOfTheNight(t *testing.T, b *browser) {
	h, address := b.house(t)
	v := b.visit(t, address, desktop)
	dark := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}}
	if _, err := chromedp.Call(v.ctx, emulation.SetEmulatedMedia, dark); err != nil {
		t.Fatal(err)
	}
	v.carry(h.session("supervisor"))
	for _, path := range []string{"/", "/reorder", "/checkouts/new?round=stoke", "/cylinders", "/receipts/new?supplier=northbank&item=Q4"} {
		v.open(path)
		v.look("by night " + path)
	}
}

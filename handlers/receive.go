package handlers

import (
	"fmt"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/shelf"
	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// receivePage is the form of goods in; without an item it asks for that first.
type receivePage struct {
	Supplier  string
	Item      *stock.ReceiveItem
	Label     labelRead
	Suppliers []catalogue.Choice
	Items     []catalogue.Choice
	Places    []catalogue.Choice
	Gauges    []string
}

// receive books a delivery.
func (a *app) receive(c *fiber.Ctx) error {
	to := func(r stock.ReceiptAnswer) string { return fmt.Sprintf("/receipts/%d", r.Receipt) }
	return write(a, c, a.Stock.Receive, to, a.receiveForm)
}

// receiveForm loads the form for the item that was chosen or typed.
func (a *app) receiveForm(c *fiber.Ctx) (string, any, error) {
	page := receivePage{Supplier: queryText(c, "supplier"), Label: readLabel(c)}
	item, pressure := queryText(c, "item"), ""
	if isForm(c) {
		fields := typed(c)
		page.Supplier, item = fields["supplier"], fields["item"]
		pressure = withUnit(fields["pressure"], fields["pressure.unit"])
	}
	var err error
	if page.Item, err = a.Stock.ReceiveItem(c.UserContext(), strings.TrimSpace(item), unit.Typed(pressure)); err != nil {
		return "", nil, err
	}
	for plural, into := range map[string]*[]catalogue.Choice{"suppliers": &page.Suppliers, "items": &page.Items, "places": &page.Places} {
		if *into, err = a.choices(c, plural); err != nil {
			return "", nil, err
		}
	}
	settings, err := catalogue.CurrentSettings(c.UserContext(), a.Catalogue.Store)
	page.Gauges = settings.GaugeCodes()
	return "receive", page, err
}

// receipts lists deliveries, newest first.
func (a *app) receipts(c *fiber.Ctx) error {
	after, limit, err := queryPage(c)
	if err != nil {
		return err
	}
	answer, err := a.Stock.Receipts(c.UserContext(), after, limit)
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	return a.show(c, "receipts", receiptsPage{answer, auth.Can(personOf(c).Role, auth.Receive)}, nil)
}

// receiptsPage is the list, and whether the person may add to it.
type receiptsPage struct {
	stock.ReceiptsAnswer
	May bool
}

// receiptPage is a delivery as people look at it.
type receiptPage struct {
	stock.ReceiptAnswer
	Role      auth.Role
	Emergency string // the site's numbers
}

// Leaking tells whether any of the cylinders is suspected to leak.
func (p receiptPage) Leaking() bool {
	return slices.ContainsFunc(p.Cylinders, func(c stock.ReceiptCylinder) bool { return leaking(c.Holds) })
}

// WantsPaper tells whether a certificate or a date is missing that the person may enter.
func (p receiptPage) WantsPaper() bool {
	return slices.ContainsFunc(p.Cylinders, func(c stock.ReceiptCylinder) bool { return wantsPaper(p.Role, c.Holds) })
}

// MayRelease tells whether the person's role may release a hold.
func (p receiptPage) MayRelease(h stock.HoldAnswer) bool { return mayRelease(p.Role, h) }

// Values is what the label of a cylinder must read.
func (p receiptPage) Values(components []stock.AmountAnswer) []string {
	words := make([]string, len(components))
	for i, component := range components {
		words[i] = component.Words
	}
	return words
}

// Limit says in the few words of a label what limits the use-by.
func (p receiptPage) Limit(c stock.ReceiptCylinder) string {
	switch {
	case c.ExpiresOn == "":
		return ""
	case !c.CalibrationAllowed:
		return "bump tests only"
	}
	switch c.GovernedBy.Term {
	case shelf.Component, shelf.Opened:
		return strings.Join(c.GovernedBy.Components, ", ") + ", site rule"
	case shelf.Store:
		return "site rule"
	}
	return "by supplier"
}

// receipt shows one delivery.
func (a *app) receipt(c *fiber.Ctx) error {
	answer, err := a.receiptOf(c)
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	page := receiptPage{ReceiptAnswer: answer, Role: personOf(c).Role}
	settings, err := catalogue.CurrentSettings(c.UserContext(), a.Catalogue.Store)
	page.Emergency = settings.EmergencyNumbers
	return a.show(c, "receipt", page, err)
}

func (a *app) receiptOf(c *fiber.Ctx) (stock.ReceiptAnswer, error) {
	id, err := idParam(c)
	if err != nil {
		return stock.ReceiptAnswer{}, err
	}
	return a.Stock.Receipt(c.UserContext(), id)
}

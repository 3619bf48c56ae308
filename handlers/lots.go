package handlers

import (
	"context"
	"fmt"
	"mime"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/stock"
)

// lotPage is a lot as people look at it, with the form for a certificate that comes later.
type lotPage struct {
	stock.LotAnswer
	Parts      []stock.ReceiveComponent
	MayFile    bool
	MayRelease []string // the reasons of the standing holds that a document could end
}

// Title is the heading of the page.
func (p lotPage) Title() string { return "Lot " + p.LotAnswer.Lot }

// settledByPaper are the reasons for a hold that a document ends.
var settledByPaper = []string{stock.CertificateMissing, stock.Undated}

// wantsPaper tells whether one of the holds ends with a certificate or a date, and the person may enter one.
func wantsPaper(role auth.Role, holds []stock.HoldAnswer) bool {
	return auth.Can(role, auth.FileCertificate) && slices.ContainsFunc(holds, func(h stock.HoldAnswer) bool { return slices.Contains(settledByPaper, h.Reason) })
}

// lot shows one lot with its certificates.
func (a *app) lot(c *fiber.Ctx) error {
	answer, err := a.lotOf(c)
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	page, err := a.lotWith(c, answer)
	return a.show(c, "lot", page, err)
}

func (a *app) lotOf(c *fiber.Ctx) (stock.LotAnswer, error) {
	id, err := idParam(c)
	if err != nil {
		return stock.LotAnswer{}, err
	}
	return a.Stock.Lot(c.UserContext(), id)
}

func (a *app) lotWith(c *fiber.Ctx, answer stock.LotAnswer) (lotPage, error) {
	role := personOf(c).Role
	page := lotPage{LotAnswer: answer, MayFile: auth.Can(role, auth.FileCertificate)}
	for _, h := range answer.Holds {
		if slices.Contains(settledByPaper, h.Reason) && mayRelease(role, h) {
			page.MayRelease = append(page.MayRelease, h.Reason)
		}
	}
	var err error
	page.Parts, err = a.Stock.LotComponents(c.UserContext(), answer.ID)
	return page, err
}

// lotForm brings the page of a lot back with what was typed.
func (a *app) lotForm(c *fiber.Ctx) (string, any, error) {
	answer, err := a.lotOf(c)
	if err != nil {
		return "", nil, err
	}
	page, err := a.lotWith(c, answer)
	return "lot", page, err
}

// fileCertificate enters a certificate that comes after its lot.
func (a *app) fileCertificate(c *fiber.Ctx) error {
	id, err := idParam(c)
	if err != nil {
		return err
	}
	do := func(ctx context.Context, act auth.Act, o stock.FilingOrder) (stock.FiledAnswer, error) {
		file, err := upload(c, theFile)
		if err != nil {
			return stock.FiledAnswer{}, err
		}
		o.ID, o.File = id, file
		return a.Stock.FileCertificate(ctx, act, o)
	}
	to := func(f stock.FiledAnswer) string {
		notice := []string{"It is entered"}
		for _, h := range f.Released {
			notice = append(notice, "released: "+h.Reason)
		}
		for _, finding := range f.Findings {
			notice = append(notice, finding.Text)
		}
		return fmt.Sprintf("/lots/%d?done=%s", id, escape(strings.Join(notice, "; ")))
	}
	return write(a, c, do, to, a.lotForm)
}

// file sends a document as it came, to be kept and not to be shown in our pages.
func (a *app) file(c *fiber.Ctx) error {
	f, err := a.Stock.File(c.UserContext(), c.Params("sha256"))
	if err != nil {
		return err
	}
	c.Set(fiber.HeaderContentType, f.Kind)
	c.Set(fiber.HeaderXContentTypeOptions, "nosniff")
	c.Set(fiber.HeaderContentDisposition, mime.FormatMediaType("attachment", map[string]string{"filename": f.Name}))
	return c.Send(f.Bytes)
}

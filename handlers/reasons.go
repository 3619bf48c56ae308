package handlers

import (
	"maps"
	"net/url"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// reasonsPage is what was passed on a reason: the newest rows, the counts of all of them, and the months around.
type reasonsPage struct {
	stock.ReasonsAnswer
	Rule           string
	Rules          []string // that asked in this time
	Lines          []reasonLine
	Earlier, Later string
}

// reasonLine is a row with the page that tells more of it.
type reasonLine struct {
	stock.ReasonRow
	Href string
}

// mostReasons is how many rows a page shows; whoever wants more narrows the time or asks as a program.
const mostReasons = 200

// reasons lists who passed what on which reason.
func (a *app) reasons(c *fiber.Ctx) error {
	q := stock.ReasonsQuestion{From: unit.Date(queryText(c, "from")), Until: unit.Date(queryText(c, "until")), Rule: queryText(c, "rule")}
	answer, err := a.Stock.Reasons(c.UserContext(), q)
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	page := reasonsPage{
		ReasonsAnswer: answer, Rule: q.Rule, Rules: slices.Sorted(maps.Keys(answer.CountsByRule)),
		Earlier: monthHref(answer.From.AddMonths(-1), q.Rule), Later: monthHref(answer.From.AddMonths(1), q.Rule),
	}
	for _, row := range answer.Rows[:min(len(answer.Rows), mostReasons)] {
		page.Lines = append(page.Lines, reasonLine{row, subjectHref(row.Subject, string(row.Cylinder), row.What)})
	}
	return a.show(c, "reasons", page, nil)
}

// monthHref leads to the reasons of the month of a day.
func monthHref(day unit.Date, rule string) string {
	first := day[:len("2006-01-")] + "01"
	query := url.Values{"from": {string(first)}}
	if rule != "" {
		query.Set("rule", rule)
	}
	return "/reasons?" + query.Encode()
}

// subjectHref leads to what an act was about: the check-out, the delivery, the cylinder, else what the ledger says of it.
func subjectHref(subject, tag, what string) string {
	kind, id, _ := strings.Cut(subject, ":")
	switch {
	case kind == "checkout":
		return "/checkouts/" + id
	case kind == "receipt":
		return "/receipts/" + id
	case tag != "":
		return "/cylinders/" + tag
	case kind == "hold":
		_, name, _ := strings.Cut(what, " ")
		return "/cylinders?stage=all&q=" + url.QueryEscape(name)
	}
	return "/ledger?subject=" + url.QueryEscape(subject)
}

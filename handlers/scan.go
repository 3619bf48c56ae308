package handlers

import (
	"net/http"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// scan leads to what a scanned or typed text means. Where it may be several things, or a code that cannot be taken as it is,
// the page says so.
func (a *app) scan(c *fiber.Ctx) error {
	answer, err := a.Stock.Scan(c.UserContext(), personOf(c), queryText(c, "text"))
	if err != nil || isAPI(c) {
		return a.show(c, "", answer, err)
	}
	if answer.URL == "" {
		return a.show(c, "scan", scanPage{answer, auth.Can(personOf(c).Role, auth.Receive)}, nil)
	}
	return c.Redirect(answer.URL, http.StatusSeeOther)
}

// scanPage is a scan that somebody has to look at.
type scanPage struct {
	stock.ScanAnswer
	May bool // book in what comes
}

// Title is the heading of the page.
func (p scanPage) Title() string {
	switch {
	case len(p.Choices) > 0:
		return "Which is it?"
	case p.Refused():
		return "This code cannot be used"
	}
	return "What the code says"
}

// Refused tells whether the code itself is wrong.
func (p scanPage) Refused() bool {
	return p.GS1 != nil && problem.Worst(p.GS1.Findings) == problem.Stop
}

// Shown is the text as it came, with a sign for what has none.
func (p scanPage) Shown() string {
	return strings.ReplaceAll(p.Text, string(rune(scanSeparator)), "␝")
}

// labelRead is what a scanned label fills in on the form of goods in, by the names of its fields.
type labelRead struct{ Lot, ExpiresOn, FilledOn, Serials, GTIN string }

func readLabel(c *fiber.Ctx) labelRead {
	if isForm(c) {
		return labelRead{} // what was typed stands there
	}
	return labelRead{queryText(c, "lot"), queryText(c, "label_expires_on"), queryText(c, "filled_on"), queryText(c, "serials"), queryText(c, "gtin")}
}

// Fields repeats what was read, for the question before the form.
func (l labelRead) Fields() []hidden {
	return withValue([]hidden{{"lot", l.Lot}, {"label_expires_on", l.ExpiresOn}, {"filled_on", l.FilledOn}, {"serials", l.Serials}, {"gtin", l.GTIN}})
}

// Words says what was read.
func (l labelRead) Words() string {
	var words []string
	for _, part := range withValue([]hidden{{"lot", l.Lot}, {"expiry", inWords(l.ExpiresOn)}, {"produced", inWords(l.FilledOn)}, {"serial", l.Serials}}) {
		words = append(words, part.Name+" "+part.Value)
	}
	return strings.Join(words, ", ")
}

// withValue leaves out the fields without a value.
func withValue(fields []hidden) []hidden {
	return slices.DeleteFunc(fields, func(f hidden) bool { return f.Value == "" })
}

// inWords gives a date as people read it; whatever else an address holds stays as it is.
func inWords(day string) string {
	if d, err := unit.ParseDate(day); err == nil {
		return d.Words()
	}
	return day
}

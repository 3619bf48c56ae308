package views

import (
	"fmt"
	"html/template"
)

// cardPart is what the part "card" shows of a cylinder.
type cardPart struct {
	Tag, Href, Name           string
	Components                []string
	UseBy, Limited, Expires   string // dates as YYYY-MM-DD
	Left                      string
	Late                      bool
	Stage, Readiness          string
	Place, Holder, Since, Lot string
	Gas                       *gasBar

	zoned Page
}

func newCard(p Page, pairs ...any) (cardPart, error) {
	c := cardPart{zoned: p}
	err := fill(&c, pairs)
	return c, err
}

// SinceWords is since when the holder has it.
func (c cardPart) SinceWords() string { return when(c.zoned, c.Since) }

// linePart is one line of the ledger in words.
type linePart struct {
	When                             any
	Who, What, Before, After, Reason string
	Struck                           bool
	Again                            bool // the same person in the same moment as the line before

	zoned Page
}

func newLine(p Page, pairs ...any) (linePart, error) {
	l := linePart{zoned: p}
	err := fill(&l, pairs)
	return l, err
}

// WhenWords is the moment for people.
func (l linePart) WhenWords() string { return when(l.zoned, l.When) }

// Instant is the moment for programs, or "".
func (l linePart) Instant() string {
	t, err := moment(l.When)
	if err != nil || t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02T15:04:05Z")
}

// emptyPart is what would be here and the one way to fill it.
type emptyPart struct{ Text, Action, Href string }

func newEmpty(pairs ...any) (emptyPart, error) {
	var e emptyPart
	err := fill(&e, pairs)
	return e, err
}

// buttonPart is a button, or a link that looks like one.
type buttonPart struct {
	Text, Kind, Href, Name, Value, Form string
}

func newButton(words any, pairs ...any) (buttonPart, error) {
	b := buttonPart{Text: text(words), Kind: "main"}
	if err := fill(&b, pairs); err != nil {
		return b, err
	}
	if b.Kind != "main" && b.Kind != "plain" {
		return b, fmt.Errorf("button %s: there is no kind %q", b.Text, b.Kind)
	}
	return b, nil
}

// labelPart is the label for a cylinder, 58 by 40 mm.
type labelPart struct {
	Tag, Name               string
	Components              []string
	UseBy, Limited, Expires string
	Supplier, Lot, Size     string
	Place, Opened           string
	Printed                 int
	Code                    template.HTML // the picture of the tag for scanners
}

func newLabel(pairs ...any) (labelPart, error) {
	var l labelPart
	err := fill(&l, pairs)
	return l, err
}

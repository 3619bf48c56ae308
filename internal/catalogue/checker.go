package catalogue

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

const (
	longestText = 200
	longestNote = 2000
)

var codePattern = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$`)

// checker gathers all that is wrong with an order while the order reads itself, so that it is told at once.
type checker struct {
	store    *store.Store
	settings Settings
	now      unit.Instant
	today    unit.Date // at the site
	before   string    // the document of the version before, "" for a new thing
	reasons  map[string]string
	wrong    problem.Fields
	verdicts []verdict
	broken   error // the database does not answer
}

// verdict is a rule's finding and the field that it marks.
type verdict struct {
	field string
	problem.Finding
}

func (c *checker) rule(field string, f problem.Finding) {
	c.verdicts = append(c.verdicts, verdict{field, f})
}

// err gives everything that is wrong: an invalid order with its fields, or the refusal of a rule, which marks its field as well.
func (c *checker) err() error {
	if c.broken != nil {
		return c.broken
	}
	var findings []problem.Finding
	var marked problem.Fields
	for _, v := range c.verdicts {
		findings = append(findings, v.Finding)
		if len(problem.Open([]problem.Finding{v.Finding}, c.reasons)) > 0 {
			marked.Add(v.field, v.Text, v.Advice)
		}
	}
	err := problem.Refuse(findings, c.reasons)
	if len(c.wrong) > 0 {
		err = append(c.wrong, marked...).Err()
	}
	var e *problem.Error
	if errors.As(err, &e) {
		e.Fields, e.Findings = append(c.wrong, marked...), problem.Sort(findings)
	}
	return err
}

// given takes the reasons that came with an order.
func (c *checker) given(reasons map[string]string) {
	c.reasons = reasons
	for rule, reason := range reasons {
		c.text("reasons."+rule, &reason)
		reasons[rule] = reason
	}
}

// head checks the code and the name. The code of a thing that exists is not for the order to say.
func (c *checker) head(h head, is string) {
	*h.code = strings.TrimSpace(*h.code)
	switch {
	case is != "" && *h.code != "" && *h.code != is:
		c.wrong.Add("code", fmt.Sprintf("this is %s %q, and codes never change", h.noun, is), "leave the code as it is, or make a new one under the new code")
	case is != "":
		*h.code = is
	case *h.code == "":
		c.missing("code", firstCode(h.noun))
	case *h.code == "new":
		c.wrong.Add("code", `"new" cannot be a code: the form for a new one stands there`, "choose another code")
	case !codePattern.MatchString(*h.code):
		c.wrong.Add("code", fmt.Sprintf("%q cannot be a code", clip(*h.code)),
			"use up to 40 letters without accents, digits, points, hyphens or underscores, and begin with a letter or digit")
	}
	if h.name != nil {
		c.text("name", h.name)
	}
}

// firstCode advises on the code of a new thing.
func firstCode(noun string) string {
	if noun == "instrument" {
		return "copy the serial from the instrument"
	}
	return `give it a short code of your own, such as "Q4"`
}

// missing notes that a field was left out.
func (c *checker) missing(field, advice string) {
	c.wrong.Add(field, "the "+wordsOf(field)+" is not given", advice)
}

// text tidies a short text and checks its length.
func (c *checker) text(field string, text *string) {
	c.limited(field, text, longestText, func(r rune) bool { return unicode.IsControl(r) })
}

// note tidies a text that may have several lines.
func (c *checker) note(field string, text *string) {
	*text = strings.ReplaceAll(*text, "\r\n", "\n")
	c.limited(field, text, longestNote, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' })
}

func (c *checker) limited(field string, text *string, most int, odd func(rune) bool) {
	*text = strings.TrimSpace(*text)
	switch n := utf8.RuneCountInString(*text); {
	case n > most:
		c.wrong.Add(field, fmt.Sprintf("the %s has %d characters, more than %d fit", wordsOf(field), n, most), "shorten it")
	case !utf8.ValidString(*text) || strings.ContainsFunc(*text, odd):
		c.wrong.Add(field, "the "+wordsOf(field)+" has characters that cannot be printed", "type it anew without them")
	}
}

// oneOf checks a word against a closed list.
func (c *checker) oneOf(field string, word *string, options ...string) {
	*word = strings.TrimSpace(*word)
	for _, o := range options {
		if *word == o {
			return
		}
	}
	if *word == "" {
		c.missing(field, "choose "+orList(options))
		return
	}
	c.wrong.Add(field, fmt.Sprintf("the %s cannot be %q", wordsOf(field), clip(*word)), "choose "+orList(options))
}

// oneOfOrNone is oneOf for a word that may be left out.
func (c *checker) oneOfOrNone(field string, word *string, options ...string) {
	if strings.TrimSpace(*word) == "" {
		*word = ""
		return
	}
	c.oneOf(field, word, options...)
}

// known gives the id of a thing that an order names, or nil. An empty code is wrong only where it is needed.
func (c *checker) known(ctx context.Context, field, noun string, code *string, needed bool) *int64 {
	*code = strings.TrimSpace(*code)
	if *code == "" {
		if needed {
			c.missing(field, "choose "+article(noun)+" from the list of "+plural(noun))
		}
		return nil
	}
	id, err := c.store.CatalogueID(ctx, noun, *code)
	if err != nil {
		c.broken = err
		return nil
	}
	if id != 0 {
		return &id
	}
	c.unknown(ctx, field, noun, *code)
	return nil
}

func (c *checker) unknown(ctx context.Context, field, noun, code string) {
	like, err := c.store.CatalogueLike(ctx, noun, code)
	if err != nil {
		c.broken = err
		return
	}
	advice := "check the spelling, or make it under " + plural(noun) + " first"
	if like != "" {
		advice = fmt.Sprintf("did you mean %q?", like)
	}
	c.wrong.Add(field, fmt.Sprintf("there is no %s %q", noun, clip(code)), advice)
}

func plural(noun string) string {
	if noun == "tubing" {
		return noun
	}
	return noun + "s"
}

func article(noun string) string {
	if strings.ContainsRune("aeiou", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

// wordsOf says a field in words: the last name in its path, without underscores.
func wordsOf(field string) string {
	parts := strings.Split(field, ".")
	for i := len(parts) - 1; i > 0; i-- {
		if _, err := strconv.Atoi(parts[i]); err != nil {
			return strings.ReplaceAll(parts[i], "_", " ")
		}
	}
	return strings.ReplaceAll(parts[0], "_", " ")
}

func orList(options []string) string {
	last := len(options) - 1
	if last == 0 {
		return options[0]
	}
	return strings.Join(options[:last], ", ") + " or " + options[last]
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// component is known for a component, and gives its row.
func (c *checker) component(ctx context.Context, field string, code *string, needed bool) *models.Component {
	if c.known(ctx, field, "component", code, needed) == nil {
		return nil
	}
	row, err := c.store.ComponentByCode(ctx, *code)
	if err != nil {
		c.broken = err
		return nil
	}
	return &row
}

// once notes a value that is in a list already.
func (c *checker) once(field, what, value string, seen map[string]bool) {
	if value != "" && seen[value] {
		c.wrong.Add(field, fmt.Sprintf("%s %q is listed more than once", what, clip(value)), "keep one of the lines and take the other out")
	}
	seen[value] = true
}

package gs1

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// LongestText is how many bytes of text are looked at; no symbol holds as many.
const LongestText = 8 << 10

// Scan is what a storeroom wants from a code: the elements, and of them what it uses. Split is the other reading where the
// scanner may have dropped a separator; an ask among the findings says so. With a stop among them there are no elements.
type Scan struct {
	Elements   []Element
	Item       string // 14 digits
	Lot        string
	Serial     string
	ExpiresOn  unit.Date
	ProducedOn unit.Date
	Split      []Element
	Problem    Problem
	Findings   []problem.Finding
}

// Read takes what came from a scanner or a keyboard, as seen from a year. It gives false for whatever does not show that it
// is GS1: that is a text to search for, never a guess.
func Read(text string, year int) (Scan, bool) {
	m, marked := recognise(text)
	if !marked {
		return Scan{}, false
	}
	split := m.runOn()
	s := Scan{Split: split, Problem: m.fault.Problem, Findings: m.findings(split)}
	if !m.readable() {
		return s, true
	}
	s.Elements = m.elements
	s.Item, s.Lot, s.Serial = m.value("01"), m.value("10"), m.value("21")
	s.ExpiresOn, s.ProducedOn = m.date("17", year), m.date("11", year)
	return s, true
}

var beginsBracketed = regexp.MustCompile(`^\(\d{2,4}\)`)

// recognise reads a text by the mark that it carries: a symbology identifier, a separator, brackets, a digital link. Without
// one it must begin with an item number whose check digit is right, and conform as a whole but for a wrong date or a dropped
// separator.
func recognise(text string) (message, bool) {
	text = strings.TrimSpace(text)
	switch {
	case len(text) > LongestText:
		return message{}, false
	case strings.HasPrefix(text, "]"):
		m := scan(text)
		return m, m.fault.Problem != Symbology && m.fault.Problem != URI
	case strings.HasPrefix(text, "^"):
		return raw(text), true
	case strings.Contains(text, separator):
		return elementString(strings.TrimPrefix(text, separator), separator), true
	case beginsBracketed.MatchString(text):
		return bracketed(text), true
	case isAddress(text):
		m := digitalLink(text)
		return m, m.fault.Problem != URI
	case strings.HasPrefix(text, "01") && len(text) >= 2+gtinLength && ValidCheckDigit(text[2:2+gtinLength]):
		m := elementString(text, separator)
		return m, m.conforms() || m.fault.ofDate() || m.runOn() != nil
	}
	return message{}, false
}

// value gives what stands under an identifier, and nothing where it stands there twice with different values.
func (m message) value(code string) string {
	at := slices.IndexFunc(m.elements, func(e Element) bool { return e.AI == code })
	if at < 0 {
		return ""
	}
	if _, twice := m.changed(m.elements[at]); twice {
		return ""
	}
	return m.elements[at].Value
}

// date gives a date that was checked already, now by the century of the year.
func (m message) date(code string, year int) unit.Date {
	value := m.value(code)
	if value == "" {
		return ""
	}
	d, _ := date(value, true, year)
	return d
}

var dateElement = regexp.MustCompile(`^\(?(11|12|13|15|16|17)\)?(\d{6})$`)

// IsDate tells whether a text is one date element for ReadDate, though the date may be wrong.
func IsDate(text string) bool { return dateElement.MatchString(strings.TrimSpace(text)) }

// ReadDate takes a date field into which one date element was scanned, with brackets or without: 17280200 is 29 Feb 2028.
// No date that people type reads as one, since its year would stand for an impossible month.
func ReadDate(text string, year int) (unit.Date, error) {
	const advice = "scan the date alone, or write it as YYYY-MM-DD"
	text = strings.TrimSpace(text)
	parts := dateElement.FindStringSubmatch(text)
	if parts == nil {
		return "", problem.New(problem.Invalid, fmt.Sprintf("%q is not a scanned date", shorten(text)), advice)
	}
	d, wrong := date(parts[2], true, year)
	if wrong != "" {
		what, _ := fault{wrong, Element{parts[1], parts[2]}, parts[2]}.words()
		return "", problem.New(problem.Invalid, what, typeTheDate)
	}
	return d, nil
}

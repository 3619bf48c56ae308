package gs1

import (
	"fmt"
	"strings"

	"spanroom/internal/problem"
)

// rule is the rule of the storeroom that scans go by.
const rule = "R4"

// names are what the storeroom calls the elements that it uses.
var names = map[string]string{"01": "item", "10": "lot", "11": "production date", "17": "expiry", "21": "serial"}

const (
	scanAgain   = "scan it again, or type what is printed beside the code"
	typeTheDate = "compare with the print beside the code; if the label itself says so, ask the supplier for the date"
)

// findings says what stands in the way of a text, and how it may be split otherwise.
func (m message) findings(split []Element) []problem.Finding {
	found := []problem.Finding{}
	switch {
	case m.conforms():
	case m.fault.Problem == Length && split != nil: // the split explains it
	default:
		found = append(found, m.fault.finding())
	}
	if split != nil {
		last := m.elements[len(m.elements)-1]
		found = append(found, problem.Finding{
			Rule: rule, Severity: problem.Ask, Subject: named(last.AI),
			Text:   fmt.Sprintf("%q may hold more than one element: %s", shorten(last.Value), Bracketed(split[len(m.elements)-1:])),
			Advice: "compare with the print beside the code and say which it is; the scanner may leave out separators",
		})
	}
	return problem.Sort(found)
}

func (f fault) finding() problem.Finding {
	text, advice := f.words()
	severity := problem.Stop
	switch f.Problem {
	case Requisite:
		severity = problem.Note
	case Exclusive, Repeat:
		severity = problem.Ask
	}
	return problem.Finding{Rule: rule, Severity: severity, Subject: named(f.element.AI), Text: text, Advice: advice}
}

// words says what is wrong and what to do.
func (f fault) words() (text, advice string) {
	value := fmt.Sprintf("%q", shorten(f.element.Value))
	switch f.Problem {
	case Charset:
		return value + " has a character that cannot stand there", scanAgain
	case CheckDigit:
		return "the check digit of " + value + " is wrong", scanAgain
	case DateMonth:
		month, _ := monthAndDay(f.detail)
		return fmt.Sprintf("month %s in %s: a year has 12", month, value), typeTheDate
	case DateDay:
		month, day := monthAndDay(f.detail)
		return fmt.Sprintf("day %s of month %s in %s: there is no such day", day, month, value), typeTheDate
	case Time:
		return value + " has no time of day", scanAgain
	case Empty:
		return "there is nothing after it", scanAgain
	case Length:
		return value + " is too short or too long", scanAgain
	case UnknownAI:
		return fmt.Sprintf("no identifier begins with %q", shorten(f.element.AI)), scanAgain
	case Symbology:
		return fmt.Sprintf("%q is no barcode with GS1 elements", shorten(f.detail)), "search for the text itself"
	case URI:
		return "the address is not a GS1 digital link", "search for the text itself"
	case Exclusive:
		return fmt.Sprintf("it does not go with (%s)", f.detail), "check whether two codes were scanned into one field"
	case Requisite:
		return fmt.Sprintf("it comes without (%s) or the like", f.detail), "scan the other codes of the label too"
	case Repeat:
		return fmt.Sprintf("it comes twice: %s and %q", value, shorten(f.detail)), "check whether two labels were scanned into one field"
	}
	return value + " is not of the form that the standard gives", scanAgain
}

// named gives an identifier with what the storeroom calls it.
func named(code string) string {
	if code == "" {
		return "scan"
	}
	return strings.TrimSpace("(" + shorten(code) + ") " + names[code])
}

// monthAndDay are the last four digits of a date.
func monthAndDay(digits string) (month, day string) {
	n := len(digits)
	return digits[n-4 : n-2], digits[n-2:]
}

// shorten keeps a text, whatever it is, fit to be shown.
func shorten(text string) string {
	const most = 40
	text = strings.ToValidUTF8(text, "�")
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return text
}

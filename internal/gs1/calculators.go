package gs1

import (
	"fmt"
	"regexp"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// ScanQuestion is a text with the syntax in which it is written: raw, scan, bracketed or digital_link.
type ScanQuestion struct {
	Syntax string `json:"syntax"`
	Text   string `json:"text"`
}

// ScanAnswer tells whether a text conforms to the standard. The elements are there where each of them is right by itself;
// split is another reading where a separator may be missing.
type ScanAnswer struct {
	Conforms bool              `json:"conforms"`
	Problem  *Problem          `json:"problem"`
	Elements []Element         `json:"elements"`
	Split    []Element         `json:"split"`
	Findings []problem.Finding `json:"findings"`
}

var syntaxes = map[string]func(string) message{"raw": raw, "scan": scan, "bracketed": bracketed, "digital_link": digitalLink}

// CalcScan answers a ScanQuestion.
func CalcScan(q ScanQuestion) (ScanAnswer, error) {
	var wrong problem.Fields
	parse, known := syntaxes[q.Syntax]
	if !known {
		wrong.Add("syntax", fmt.Sprintf("%q is not a syntax", shorten(q.Syntax)), "say raw, scan, bracketed or digital_link")
	}
	if len(q.Text) > LongestText {
		wrong.Add("text", "it is longer than any symbol can hold", fmt.Sprintf("send at most %d bytes", LongestText))
	}
	if err := wrong.Err(); err != nil {
		return ScanAnswer{}, err
	}
	m := parse(q.Text)
	split := m.runOn()
	a := ScanAnswer{Conforms: m.conforms(), Elements: []Element{}, Split: append([]Element{}, split...), Findings: m.findings(split)}
	if !m.conforms() {
		a.Problem = &m.fault.Problem
	}
	if m.readable() {
		a.Elements = append(a.Elements, m.elements...)
	}
	return a, nil
}

// ValuesQuestion asks about one value: the date or the weight that an element gives, or whether a check digit is right.
type ValuesQuestion struct {
	Kind        string `json:"kind"`
	AI          string `json:"ai"`
	Value       string `json:"value"`
	CurrentYear int    `json:"current_year"`
	Digits      string `json:"digits"`
}

// ValuesAnswer gives what was asked for; the rest is null, and so is what is refused.
type ValuesAnswer struct {
	Refused bool       `json:"refused"`
	Reason  string     `json:"reason,omitempty"`
	Advice  string     `json:"advice,omitempty"`
	Date    *unit.Date `json:"date"`
	Valid   *bool      `json:"valid"`
	Kg      *string    `json:"kg"`
}

// CalcValues answers a ValuesQuestion.
func CalcValues(q ValuesQuestion) (ValuesAnswer, error) {
	switch q.Kind {
	case "date":
		return q.date()
	case "weight":
		return q.weight()
	case "check_digit":
		valid := len(q.Digits) <= LongestText && ValidCheckDigit(q.Digits)
		return ValuesAnswer{Valid: &valid}, nil
	}
	var wrong problem.Fields
	wrong.Add("kind", fmt.Sprintf("%q is not a kind of value", shorten(q.Kind)), "say date, check_digit or weight")
	return ValuesAnswer{}, wrong.Err()
}

// Years from which a date of two digits stays within what unit.Date holds.
const (
	firstYear = 1950
	lastYear  = 2149
)

var dateIdentifiers = regexp.MustCompile(`^1[1-35-7]$`)

func (q ValuesQuestion) date() (ValuesAnswer, error) {
	var wrong problem.Fields
	if !dateIdentifiers.MatchString(q.AI) {
		wrong.Add("ai", fmt.Sprintf("(%s) is not a date", shorten(q.AI)), "give 11, 12, 13, 15, 16 or 17")
	}
	if q.CurrentYear < firstYear || q.CurrentYear > lastYear {
		wrong.Add("current_year", fmt.Sprintf("%d is out of range", q.CurrentYear), fmt.Sprintf("give %d to %d", firstYear, lastYear))
	}
	if err := wrong.Err(); err != nil {
		return ValuesAnswer{}, err
	}
	p, detail := identifiers()[q.AI].check(q.Value)
	if p == Length || p == Charset {
		return refused(fault{p, Element{q.AI, q.Value}, detail}), nil
	}
	d, p := date(q.Value, true, q.CurrentYear)
	if p != "" {
		return refused(fault{p, Element{q.AI, q.Value}, q.Value}), nil
	}
	return ValuesAnswer{Date: &d}, nil
}

var weightIdentifiers = regexp.MustCompile(`^3[13]0[0-5]$`)

// weight reads kilograms, net or gross; the last digit of the identifier says how many of the digits are decimals.
func (q ValuesQuestion) weight() (ValuesAnswer, error) {
	if !weightIdentifiers.MatchString(q.AI) {
		var wrong problem.Fields
		wrong.Add("ai", fmt.Sprintf("(%s) is not a weight in kilograms", shorten(q.AI)), "give 3100 to 3105, or 3300 to 3305")
		return ValuesAnswer{}, wrong.Err()
	}
	if p, detail := identifiers()[q.AI].check(q.Value); p != "" {
		return refused(fault{p, Element{q.AI, q.Value}, detail}), nil
	}
	kg := decimal(q.Value, number(q.AI[3:]))
	return ValuesAnswer{Kg: &kg}, nil
}

// decimal puts the point in front of the last places and leaves out every other 0 that says nothing.
func decimal(digits string, places int) string {
	point := len(digits) - places
	whole, rest := strings.TrimLeft(digits[:point], "0"), strings.TrimRight(digits[point:], "0")
	if whole == "" {
		whole = "0"
	}
	if rest == "" {
		rest = "0"
	}
	return whole + "." + rest
}

func refused(f fault) ValuesAnswer {
	reason, advice := f.words()
	return ValuesAnswer{Refused: true, Reason: reason, Advice: advice}
}

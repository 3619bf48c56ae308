// Package gs1 turns what a scanner typed into elements by the GS1 General Specifications: identifiers, check digits, dates
// and which elements go together. It never guesses where one element ends; where a scanner may have lost that, it asks.
package gs1

import "strings"

// Element is a value with the application identifier that says what it is.
type Element struct {
	AI    string `json:"ai"`
	Value string `json:"value"`
}

// Problem says in one word why a text does not conform to the standard; "" conforms.
type Problem string

// What can be wrong. With the last three every element is right by itself, and they do not go together.
const (
	Charset    Problem = "charset"
	CheckDigit Problem = "check_digit"
	DateDay    Problem = "date_day"
	DateMonth  Problem = "date_month"
	Empty      Problem = "empty"
	Format     Problem = "format"
	Length     Problem = "length"
	Symbology  Problem = "symbology"
	Time       Problem = "time"
	UnknownAI  Problem = "unknown_ai"
	URI        Problem = "uri"
	Exclusive  Problem = "exclusive"
	Requisite  Problem = "requisite"
	Repeat     Problem = "repeat"
)

// Problems lists every word that a problem can be.
func Problems() []Problem {
	return []Problem{Charset, CheckDigit, DateDay, DateMonth, Empty, Exclusive, Format, Length, Repeat, Requisite, Symbology, Time, UnknownAI, URI}
}

// ofAssociation tells whether the elements can be read all the same.
func (p Problem) ofAssociation() bool { return p == Exclusive || p == Requisite || p == Repeat }

// ofDate tells whether a date is there that does not exist.
func (p Problem) ofDate() bool { return p == DateMonth || p == DateDay }

// fault is a problem with the element that has it, and what in it is wrong or what it clashes with.
type fault struct {
	Problem
	element Element
	detail  string
}

// message is a text as read: its elements, and the first fault. Of a faulty text they are those up to the fault.
type message struct {
	elements  []Element
	fault     fault
	separated bool // the text itself shows where its elements end
}

func (m message) conforms() bool { return m.fault.Problem == "" }

// readable tells whether the elements may be shown: all of them are there, and each is right by itself.
func (m message) readable() bool { return m.conforms() || m.fault.ofAssociation() }

func (m message) failed(p Problem, e Element, detail string) message {
	m.fault = fault{p, e, detail}
	return m
}

// checked looks at elements that were told apart by other means than their lengths: all lengths first, then what they hold.
func (m message) checked() message {
	for _, e := range m.elements {
		if _, fits := identifiers()[e.AI].split(e.Value); !fits {
			return m.failed(Length, e, "")
		}
	}
	for _, e := range m.elements {
		if p, part := identifiers()[e.AI].check(e.Value); p != "" {
			return m.failed(p, e, part)
		}
	}
	return m.associated()
}

// Bracketed writes elements as people read them, with each bracket of a value escaped.
func Bracketed(elements []Element) string {
	var b strings.Builder
	for _, e := range elements {
		b.WriteString("(" + e.AI + ")" + strings.ReplaceAll(e.Value, "(", `\(`))
	}
	return b.String()
}

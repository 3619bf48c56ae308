// Package problem holds the few kinds of failure that spanroom knows, and Finding, the verdict of a rule.
package problem

import (
	"errors"
	"fmt"
	"strings"
)

// Kind says what went wrong in one word; the border turns it into a status.
type Kind string

// The kinds of failure. Anything else that reaches the border is an unknown error.
const (
	Malformed Kind = "malformed"  // the request cannot be read at all
	SignedOut Kind = "signed_out" // nobody is signed in
	Forbidden Kind = "forbidden"  // this person may not do this
	Missing   Kind = "missing"    // there is no such thing
	Conflict  Kind = "conflict"   // somebody else was first, or the version is stale
	Refused   Kind = "refused"    // a rule of the trade says no, or asks for a reason
	TooLarge  Kind = "too_large"  // the body is over the limit
	Invalid   Kind = "invalid"    // a field is wrong
	TooMany   Kind = "too_many"   // too many attempts
)

// Field is what is wrong with one field of an order; Name is its dotted path, the same in JSON and in forms.
type Field struct {
	Name   string `json:"name"`
	Text   string `json:"text"`
	Advice string `json:"advice,omitempty"`
}

// Error is a failure with what happened, why, and the next step.
type Error struct {
	Kind     Kind
	Detail   string
	Advice   string
	Fields   []Field
	Findings []Finding
}

// Error gives the detail, and the fields where there are any.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.Detail)
	for _, f := range e.Fields {
		fmt.Fprintf(&b, "; %s: %s", f.Name, f.Text)
	}
	for _, f := range e.Findings {
		fmt.Fprintf(&b, "; %s %s: %s", f.Rule, f.Severity, f.Text)
	}
	return b.String()
}

// New makes a failure of a kind with its detail and the advice for the next step.
func New(kind Kind, detail, advice string) *Error {
	return &Error{Kind: kind, Detail: detail, Advice: advice}
}

// NotFound says that a thing of this sort and name is not known.
func NotFound(what, name string) *Error {
	return New(Missing, fmt.Sprintf("there is no %s %q", what, name), "check the spelling, or look it up in the list")
}

// Stale says that a thing has changed since it was read.
func Stale(what, name string, have, want int64) *Error {
	return New(Conflict, fmt.Sprintf("%s %s is at version %d now, the change was made on version %d", what, name, have, want),
		"read it again and repeat the change")
}

// KindOf gives the kind of an error, or "" for an unknown one.
func KindOf(err error) Kind {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind
	}
	return ""
}

// Fields gathers what is wrong with an order, so that all of it is told at once.
type Fields []Field

// Add notes one wrong field.
func (f *Fields) Add(name, text, advice string) {
	*f = append(*f, Field{Name: name, Text: text, Advice: advice})
}

// Take notes err under name when there is one. A problem's own detail and advice are kept; it tells whether all is well.
func (f *Fields) Take(name string, err error) bool {
	if err == nil {
		return true
	}
	var e *Error
	switch {
	case errors.As(err, &e) && len(e.Fields) > 0:
		for _, one := range e.Fields {
			f.Add(join(name, one.Name), one.Text, one.Advice)
		}
	case errors.As(err, &e):
		f.Add(name, e.Detail, e.Advice)
	default:
		f.Add(name, err.Error(), "")
	}
	return false
}

// Err gives an invalid failure that lists the fields, or nil when there are none.
func (f Fields) Err() error {
	if len(f) == 0 {
		return nil
	}
	detail := "one field is wrong"
	if len(f) > 1 {
		detail = fmt.Sprintf("%d fields are wrong", len(f))
	}
	return &Error{Kind: Invalid, Detail: detail, Advice: "correct what is marked and send it again", Fields: f}
}

func join(prefix, name string) string {
	if prefix == "" || name == "" {
		return prefix + name
	}
	return prefix + "." + name
}

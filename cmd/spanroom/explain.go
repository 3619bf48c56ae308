package main

import (
	"errors"
	"strings"

	"spanroom/internal/problem"
)

// explain writes an error in one line: what happened, why, and the next step.
func explain(err error) string {
	text := err.Error()
	var known *problem.Error
	if errors.As(err, &known) {
		text = inWords(known)
	}
	return strings.Join(strings.FieldsFunc(text, isLineBreak), "; ")
}

// inWords prefers what is wrong with each field to the advice on them all, which speaks of a form.
func inWords(p *problem.Error) string {
	if len(p.Fields) == 0 {
		return withAdvice(p.Detail, p.Advice)
	}
	var parts []string
	for _, f := range p.Fields {
		parts = append(parts, withAdvice(f.Name+": "+f.Text, f.Advice))
	}
	return strings.Join(parts, "; ")
}

func withAdvice(text, advice string) string {
	if advice == "" {
		return text
	}
	return text + "; " + advice
}

func isLineBreak(c rune) bool { return c == '\n' || c == '\r' }

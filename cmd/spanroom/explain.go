package main

import (
	"context"
	"errors"
	"strings"

	"spanroom/internal/problem"
)

// explain writes an error in one line: what happened, why, and the next step.
func explain(err error) string {
	var known *problem.Error
	switch {
	case errors.As(err, &known):
		return oneLine(inWords(known))
	case errors.Is(err, context.Canceled):
		return "stopped before it was done; run it again"
	default:
		return oneLine(err.Error())
	}
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

// oneLine puts the lines of a text behind one another.
func oneLine(text string) string {
	var b strings.Builder
	for part := range strings.Lines(text) {
		if before := b.String(); strings.HasSuffix(before, ":") {
			b.WriteString(" ")
		} else if before != "" {
			b.WriteString("; ")
		}
		b.WriteString(strings.TrimSpace(part))
	}
	return b.String()
}

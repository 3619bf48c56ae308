package handlers

import (
	"fmt"
	"slices"
	"strings"
)

// refused checks that a refusal says what, why and what next: to a program in problem+json, to a person on a page that has
// the message beside each wrong field, and everything that was typed.
func (p *player) refused(s step, method, path, body string, r reply) {
	p.t.Helper()
	told := r
	if p.people {
		told = p.inPerson(s.as, method, path, body)
		p.formComesBack(s, path, body, r, told.JSON)
	}
	p.isComplete(told)
	if s.field != "" && !names(told.JSON, s.field) {
		p.fail("%s is not named in %v", s.field, told.JSON["fields"])
	}
	if severity, rule, _ := strings.Cut(s.rule, " "); s.rule != "" && !hasFinding(told.JSON, severity, rule) {
		p.fail("there is no %s in %v", s.rule, told.JSON["findings"])
	}
}

// names tells whether a refusal is about a field, or about something in it.
func names(problem map[string]any, field string) bool {
	return slices.ContainsFunc(rowsOf(problem, "fields"), func(f any) bool {
		name, _ := dig(f, "name").(string)
		return name == field || strings.HasPrefix(name, field+".")
	})
}

// hasFinding looks for a finding of a severity by a rule, or by any where it is "".
func hasFinding(problem map[string]any, severity, rule string) bool {
	return slices.ContainsFunc(rowsOf(problem, "findings"), func(f any) bool {
		return dig(f, "severity") == severity && (rule == "" || dig(f, "rule") == rule)
	})
}

// isComplete checks a problem+json: nothing of it is left empty.
func (p *player) isComplete(r reply) {
	p.t.Helper()
	if kind := r.Header.Get("Content-Type"); kind != "application/problem+json" {
		p.fail("a refusal is %q", kind)
	}
	wanted := []string{"title", "kind", "detail", "advice", "request_id"}
	for _, list := range []string{"fields", "findings"} {
		rows, _ := r.JSON[list].([]any)
		for i := range rows {
			wanted = append(wanted, fmt.Sprintf("%s.%d.text", list, i), fmt.Sprintf("%s.%d.advice", list, i))
		}
	}
	for _, way := range wanted {
		if text, _ := dig(r.JSON, way).(string); strings.TrimSpace(text) == "" {
			p.fail("a refusal has no %s: %s", way, r.Text)
		}
	}
	if r.JSON["status"] != float64(r.Status) {
		p.fail("status %v in an answer of status %d", r.JSON["status"], r.Status)
	}
}

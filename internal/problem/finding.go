package problem

import (
	"fmt"
	"sort"
	"strings"
)

// Severity says how hard a finding stands in the way.
type Severity string

// A stop cannot be passed, an ask wants a reason, a note is only shown.
const (
	Stop Severity = "stop"
	Ask  Severity = "ask"
	Note Severity = "note"
)

// Finding is the verdict of one rule on one subject, with its arithmetic and the next step.
type Finding struct {
	Rule     string   `json:"rule"`
	Severity Severity `json:"severity"`
	Subject  string   `json:"subject"`
	Text     string   `json:"text"`
	Advice   string   `json:"advice,omitempty"`
}

func (s Severity) rank() int {
	switch s {
	case Stop:
		return 0
	case Ask:
		return 1
	default:
		return 2
	}
}

// Milder tells whether s stands less in the way than other.
func (s Severity) Milder(other Severity) bool { return s.rank() > other.rank() }

// Sort puts the worst first and keeps the order of equals.
func Sort(findings []Finding) []Finding {
	sort.SliceStable(findings, func(i, j int) bool { return findings[i].Severity.rank() < findings[j].Severity.rank() })
	return findings
}

// Worst gives the hardest severity, or "" when there are no findings.
func Worst(findings []Finding) Severity {
	var worst Severity
	for _, f := range findings {
		if worst == "" || worst.Milder(f.Severity) {
			worst = f.Severity
		}
	}
	return worst
}

// Open gives the findings that still stand in the way: every stop, and every ask whose rule has no reason.
func Open(findings []Finding, reasons map[string]string) []Finding {
	var open []Finding
	for _, f := range findings {
		if f.Severity == Stop || f.Severity == Ask && strings.TrimSpace(reasons[f.Rule]) == "" {
			open = append(open, f)
		}
	}
	return Sort(open)
}

// Refuse gives the refusal for findings that still stand in the way after the reasons, with all findings worst first, or nil.
func Refuse(findings []Finding, reasons map[string]string) error {
	open := Open(findings, reasons)
	if len(open) == 0 {
		return nil
	}
	stops := 0
	for _, f := range open {
		if f.Severity == Stop {
			stops++
		}
	}
	e := &Error{Kind: Refused, Findings: Sort(append([]Finding(nil), findings...))}
	switch {
	case stops > 0:
		e.Detail = fmt.Sprintf("%s: %s", open[0].Rule, open[0].Text)
		e.Advice = open[0].Advice
	default:
		e.Detail = "a reason is needed: " + open[0].Text
		e.Advice = "give a reason for each rule that asks, then send it again"
	}
	return e
}

package stock

import (
	"context"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// answers are the reasons that were given in a time, and how often a check-out asked for one.
type answers struct {
	rows     []ReasonRow
	handouts int
	asks     int
}

// loadAnswers gathers them from where they were kept: with the check-outs, their returns, the deliveries, the holds of goods
// in and, for acts that keep no findings, in the ledger.
func loadAnswers(ctx context.Context, s *store.Store, from, until unit.Instant) (answers, error) {
	var a answers
	for _, load := range []struct {
		from func(context.Context, unit.Instant, unit.Instant) ([]store.Told, error)
		add  func(store.Told) error
	}{{s.TakenBetween, a.taken}, {s.ReturnedBetween, a.returned}, {s.ReceivedBetween, a.received}} {
		rows, err := load.from(ctx, from, until)
		if err != nil {
			return a, err
		}
		for _, row := range rows {
			if err := load.add(row); err != nil {
				return a, err
			}
		}
	}
	holds, err := s.ArrivalsReleased(ctx, from, until)
	if err != nil {
		return a, err
	}
	for _, h := range holds {
		a.accepted(h)
	}
	entries, err := s.EntriesWithReasons(ctx, onlyInLedger, from, until)
	for _, e := range entries {
		a.entered(e)
	}
	return a, err
}

// explainedAnswers is the part of Explained that tells who answered what.
type explainedAnswers struct {
	Out    said  `json:"out"`
	Return *said `json:"return"`
}

type said struct {
	Findings []problem.Finding `json:"findings"`
	Reasons  map[string]string `json:"reasons"`
	By       string            `json:"by"`
}

func (a *answers) taken(t store.Told) error {
	e, err := explainedOf(t)
	before := len(a.rows)
	a.add(ReasonRow{At: t.At.String(), By: t.By, Act: "check_out", Subject: fmt.Sprintf("checkout:%d", t.ID), Cylinder: t.Tag, What: string(t.Tag)}, e.Out)
	a.handouts++
	a.asks += len(a.rows) - before
	return err
}

func (a *answers) returned(t store.Told) error {
	e, err := explainedOf(t)
	if err == nil && e.Return != nil {
		a.add(ReasonRow{At: t.At.String(), By: e.Return.By, Act: "return", Subject: fmt.Sprintf("checkout:%d", t.ID), Cylinder: t.Tag, What: string(t.Tag)}, *e.Return)
	}
	return err
}

func explainedOf(t store.Told) (e explainedAnswers, err error) {
	if err = json.Unmarshal([]byte(t.Doc), &e); err != nil {
		err = fmt.Errorf("why check-out %d was decided: %w", t.ID, err)
	}
	return e, err
}

func (a *answers) received(t store.Told) error {
	var in said
	if err := json.Unmarshal([]byte(t.Doc), &in); err != nil {
		return fmt.Errorf("what was typed of receipt %d: %w", t.ID, err)
	}
	if err := json.Unmarshal([]byte(t.Findings), &in.Findings); err != nil {
		return fmt.Errorf("findings of receipt %d: %w", t.ID, err)
	}
	what := t.Item
	if t.Lot != "" {
		what += ", lot " + t.Lot
	}
	a.add(ReasonRow{At: t.At.String(), By: t.By, Act: "receive", Subject: fmt.Sprintf("receipt:%d", t.ID), What: what}, in)
	return nil
}

// add makes a row of each rule that asked: one reason answers all that it asks (R29).
func (a *answers) add(act ReasonRow, s said) {
	var rules []string
	for _, f := range s.Findings {
		if f.Severity == problem.Ask && !slices.Contains(rules, f.Rule) {
			rules = append(rules, f.Rule)
		}
	}
	for _, rule := range rules {
		row := act
		row.Rule, row.Kind, row.Text, row.Reason = rule, ForReason, questions(s.Findings, rule, act.What), strings.TrimSpace(s.Reasons[rule])
		if slices.Contains(overridable, rule) {
			row.Kind = Overridden
		}
		a.rows = append(a.rows, row)
	}
}

// overridable are the rules that stop, and that ask only who may override them.
var overridable = []string{"R26"}

// questions are what a rule found that it asked about, each thing once; what the act is about is not named again.
func questions(findings []problem.Finding, rule, about string) string {
	var texts []string
	for _, f := range findings {
		text := f.Text
		if f.Subject != "" && f.Subject != about {
			text = f.Subject + ": " + text
		}
		if f.Rule == rule && f.Severity == problem.Ask && !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	return strings.Join(texts, "; ")
}

// accepted is the release of a hold of goods in: somebody takes what a check found wanting. A certificate that has come is no
// such thing.
func (a *answers) accepted(h models.Hold) {
	if h.Reason == CertificateMissing && !strings.HasPrefix(h.Evidence, emergencyAcceptance) {
		return
	}
	row := ReasonRow{
		At: h.ReleasedAt.String(), By: h.ReleasedBy, Act: "release", Subject: fmt.Sprintf("hold:%d", h.ID), What: strings.TrimSpace(h.OnKind + " " + h.OnName),
		Rule: arrivalRules[h.Reason], Kind: Accepted, Text: because(h.Reason, h.Text), Reason: h.Evidence,
	}
	if h.OnKind == onCylinder {
		row.Cylinder, row.What = unit.Tag(h.OnName), h.OnName
	}
	a.rows = append(a.rows, row)
}

// arrivalRules are the checks of goods in that place a hold, by its reason.
var arrivalRules = map[string]string{
	CertificateMissing: "R5c", DoubtfulGas: "R5c", ShortDated: "R5e", LowOnArrival: "R5f", Damaged: "R5g", LeakSuspected: "R5g", Undated: "R7",
}

// onlyInLedger are the acts whose reasons stand in the ledger alone: what was found is not kept with them.
var onlyInLedger = []string{"move", "reading", "catalogue"}

var ledgerReason = regexp.MustCompile(`(?:^|; )(R[0-9]+[a-z]?): `)

// entered takes the reasons of an act apart again that the ledger keeps in one line.
func (a *answers) entered(e models.Entry) {
	row := ReasonRow{At: e.HappenedAt.String(), By: e.ByName, Act: e.Kind, Subject: e.Subject, Kind: ForReason, What: strings.Join(strings.Split(e.Subject, ":")[1:], " ")}
	if tag, is := strings.CutPrefix(e.Subject, "cylinder:"); is {
		row.Cylinder = unit.Tag(tag)
	}
	marks := ledgerReason.FindAllStringSubmatchIndex(e.Reason, -1)
	for i, m := range marks {
		end := len(e.Reason)
		if i+1 < len(marks) {
			end = marks[i+1][0]
		}
		row.Rule, row.Reason = e.Reason[m[2]:m[3]], e.Reason[m[1]:end]
		a.rows = append(a.rows, row)
	}
}

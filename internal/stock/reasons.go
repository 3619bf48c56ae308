package stock

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"spanroom/internal/unit"
)

// ReasonsQuestion asks for the reasons that people gave from one day to another, of one rule or of all. Without days it is the
// current month; without one of them, the month of the other.
type ReasonsQuestion struct {
	From, Until unit.Date
	Rule        string
}

// ReasonsAnswer is what was passed on a reason, the newest first. CountsByRule has every rule, the rest the one that was asked for.
type ReasonsAnswer struct {
	From           unit.Date      `json:"from"`
	Until          unit.Date      `json:"until"`
	Rows           []ReasonRow    `json:"rows"`
	CountsByRule   map[string]int `json:"counts_by_rule"`
	CountsByReason []ReasonCount  `json:"counts_by_reason"`
	Handouts       int            `json:"handouts"`              // check-outs of that time
	AsksPerTen     *float64       `json:"asks_per_ten_handouts"` // null without any; the aim is below one
}

// ReasonRow is one rule that asked and was answered in one act, with what was found and the reason.
type ReasonRow struct {
	At       string   `json:"at"`
	By       string   `json:"by"`
	Act      string   `json:"act"`      // as the ledger calls it
	Subject  string   `json:"subject"`  // checkout:7, receipt:3, hold:2, or what the ledger's entry is about
	Cylinder unit.Tag `json:"cylinder"` // "" where it is not about one
	What     string   `json:"what"`
	Rule     string   `json:"rule"`
	Kind     string   `json:"kind"`
	Text     string   `json:"text"` // "" where it was not kept
	Reason   string   `json:"reason"`
}

// ReasonCount is how often a reason was given to a rule.
type ReasonCount struct {
	Rule   string `json:"rule"`
	Reason string `json:"reason"`
	Count  int    `json:"count"`
}

// The kinds of passing a rule: for a reason that anybody may give, as one who may override it, or by accepting what came in.
const (
	ForReason  = "reason"
	Overridden = "override"
	Accepted   = "acceptance"
)

// longestReport is the longest time that one answer covers, in days.
const longestReport = 366

// Reasons lists who passed what on which reason (S80). A rule that nobody may override cannot be in it: it never asks.
func (r Room) Reasons(ctx context.Context, q ReasonsQuestion) (ReasonsAnswer, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return ReasonsAnswer{}, err
	}
	if q, err = m.readReasons(q); err != nil {
		return ReasonsAnswer{}, err
	}
	g, err := loadAnswers(ctx, r.Store, m.startOf(q.From), m.startOf(q.Until.AddDays(1)))
	if err != nil {
		return ReasonsAnswer{}, err
	}
	return g.answer(q), nil
}

// readReasons checks a question, and fills in what it leaves out.
func (m moment) readReasons(q ReasonsQuestion) (ReasonsQuestion, error) {
	r := orderReader{moment: m}
	q.From, q.Until = r.date("from", q.From), r.date("until", q.Until)
	if err := r.wrong.Err(); err != nil {
		return q, err
	}
	q.From, q.Until = monthAround(q.From, q.Until, m.today)
	switch days := q.From.DaysUntil(q.Until); {
	case days < 0:
		r.wrong.Add("until", fmt.Sprintf("%s is before %s, the first day", q.Until.Words(), q.From.Words()), "give the last day")
	case days > longestReport:
		r.wrong.Add("until", fmt.Sprintf("%s to %s is longer than a year", q.From.Words(), q.Until.Words()), "ask for a year at most")
	}
	return q, r.wrong.Err()
}

// monthAround gives the days that are left out: those of the month of the other one, or of today.
func monthAround(from, until, today unit.Date) (unit.Date, unit.Date) {
	in := cmp.Or(from, until, today)
	first := in[:len("2006-01-")] + "01"
	return cmp.Or(from, first), cmp.Or(until, first.AddMonths(1).AddDays(-1))
}

// answer narrows the rows to what was asked for, and counts them.
func (g answers) answer(q ReasonsQuestion) ReasonsAnswer {
	a := ReasonsAnswer{From: q.From, Until: q.Until, Rows: []ReasonRow{}, CountsByRule: map[string]int{}, Handouts: g.handouts}
	for _, row := range g.rows {
		a.CountsByRule[row.Rule]++
		if q.Rule == "" || row.Rule == q.Rule {
			a.Rows = append(a.Rows, row)
		}
	}
	slices.Reverse(a.Rows) // of what was done at the same moment, too, the last comes first
	slices.SortStableFunc(a.Rows, func(x, y ReasonRow) int { return cmp.Compare(y.At, x.At) })
	a.CountsByReason = countReasons(a.Rows)
	if g.handouts > 0 {
		perTen := math.Round(1000*float64(g.asks)/float64(g.handouts)) / 100
		a.AsksPerTen = &perTen
	}
	return a
}

// countReasons puts the same answers to a rule together, the most frequent first; how they are spelled is as in the newest.
func countReasons(rows []ReasonRow) []ReasonCount {
	at := map[[2]string]int{}
	counts := []ReasonCount{}
	for _, row := range rows {
		key := [2]string{row.Rule, strings.ToLower(row.Reason)}
		i, there := at[key]
		if !there {
			i = len(counts)
			at[key] = i
			counts = append(counts, ReasonCount{Rule: row.Rule, Reason: row.Reason})
		}
		counts[i].Count++
	}
	slices.SortStableFunc(counts, func(x, y ReasonCount) int {
		return cmp.Or(cmp.Compare(y.Count, x.Count), cmp.Compare(x.Rule, y.Rule))
	})
	return counts
}

package stock

import (
	"context"
	"fmt"

	"spanroom/internal/problem"
	"spanroom/models"
)

// HoldsQuestion asks for the holds that stand, of one reason or of all, after one of them.
type HoldsQuestion struct {
	Reason string
	After  int64
	Limit  int
}

// HoldsAnswer is a part of the list, the oldest first; Next is where to go on, 0 at the end.
type HoldsAnswer struct {
	Rows []HoldRow `json:"rows"`
	Next int64     `json:"next"`
}

// HoldRow is one standing hold in the list.
type HoldRow struct {
	HoldAnswer
	OnKind string `json:"on_kind"`
	OnName string `json:"on_name"`
	OnID   int64  `json:"on_id"`
	Days   int    `json:"days"` // that it stands
}

// Holds lists what is on hold, the oldest first.
func (r Room) Holds(ctx context.Context, q HoldsQuestion) (HoldsAnswer, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return HoldsAnswer{}, err
	}
	if q.Limit <= 0 {
		q.Limit = usualRows
	}
	var reasons []string
	if q.Reason != "" {
		reasons = []string{q.Reason}
	}
	rows, err := r.Store.HoldsAfter(ctx, reasons, q.After, q.Limit+1)
	if err != nil {
		return HoldsAnswer{}, err
	}
	answer := HoldsAnswer{Rows: []HoldRow{}}
	if len(rows) > q.Limit {
		rows = rows[:q.Limit]
		answer.Next = rows[q.Limit-1].ID
	}
	for _, h := range rows {
		answer.Rows = append(answer.Rows, m.holdRow(h))
	}
	return answer, nil
}

// StandingHold gives one hold that is to be released.
func (r Room) StandingHold(ctx context.Context, id int64) (HoldRow, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return HoldRow{}, err
	}
	h, err := r.Store.HoldByID(ctx, id)
	if err == nil && h.ReleasedAt != 0 {
		err = problem.New(problem.Missing, fmt.Sprintf("hold %d was released by %s", id, h.ReleasedBy), "look at the list of what is on hold")
	}
	return m.holdRow(h), err
}

func (m moment) holdRow(h models.Hold) HoldRow {
	placed := m.settings.Today(h.PlacedAt.Time())
	return HoldRow{holdAnswer(h), h.OnKind, h.OnName, h.OnID, placed.DaysUntil(m.today)}
}

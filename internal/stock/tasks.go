package stock

import (
	"context"
	"fmt"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
)

// TaskAnswer is a job that was finished.
type TaskAnswer struct {
	ID   int64  `json:"id"`
	Text string `json:"text"`
}

// FinishTask closes a job of the person's role; a supervisor may close any.
func (r Room) FinishTask(ctx context.Context, act auth.Act, id int64) (TaskAnswer, error) {
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (TaskAnswer, error) {
		task, err := tx.TaskByID(ctx, id)
		if err != nil {
			return TaskAnswer{}, err
		}
		if act.By.Role != auth.Supervisor && string(act.By.Role) != task.Role {
			return TaskAnswer{}, problem.New(problem.Forbidden, "this is for a "+task.Role, "leave it to them, or ask a supervisor")
		}
		m, err := r.moment(ctx, tx)
		if err != nil {
			return TaskAnswer{}, err
		}
		if err := tx.CloseTask(ctx, id, m.at, act.By.Name); err != nil {
			return TaskAnswer{}, err
		}
		e := m.entry(act, "task", task.Text)
		e.Subject = fmt.Sprintf("task:%d", id)
		return TaskAnswer{id, task.Text}, tx.Append(ctx, e)
	})
}

package store

import (
	"context"
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// mostTasks bounds what a front page shows; the oldest come first.
const mostTasks = 100

// AddTask leaves a job for a role.
func (s *Store) AddTask(ctx context.Context, t models.Task) error { return s.db(ctx).Create(&t).Error }

// OpenTasks lists the jobs that wait for a role, or for every role.
func (s *Store) OpenTasks(ctx context.Context, role string, everyone bool) ([]models.Task, error) {
	var rows []models.Task
	q := s.db(ctx).Where("closed_at = 0").Order("opened_at, id").Limit(mostTasks)
	if !everyone {
		q = q.Where("role = ?", role)
	}
	err := q.Find(&rows).Error
	return rows, err
}

// TaskByID gives one job.
func (s *Store) TaskByID(ctx context.Context, id int64) (models.Task, error) {
	var t models.Task
	err := found(s.db(ctx).Where("id = ?", id).Take(&t).Error, "task", fmt.Sprint(id))
	return t, err
}

// CloseTask ends a job that is still open.
func (s *Store) CloseTask(ctx context.Context, id int64, at unit.Instant, by string) error {
	res := s.db(ctx).Exec("UPDATE tasks SET closed_at = ?, closed_by = ? WHERE id = ? AND closed_at = 0", at, by, id)
	if res.Error == nil && res.RowsAffected != 1 {
		return problem.New(problem.Conflict, "somebody finished this just now", "look at the front page again")
	}
	return res.Error
}

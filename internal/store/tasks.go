package store

import (
	"context"
	"fmt"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// mostTasks bounds what a front page shows; the oldest come first.
const mostTasks = 100

// AddTask leaves a job for a role.
func (s *Store) AddTask(ctx context.Context, t models.Task) error { return s.db(ctx).Create(&t).Error }

// AddTaskOnce leaves a job for a role, unless the same one about the same thing is still open.
func (s *Store) AddTaskOnce(ctx context.Context, t models.Task) error {
	var open int64
	q := s.db(ctx).Model(&models.Task{}).Where("role = ? AND kind = ? AND subject = ? AND closed_at = 0", t.Role, t.Kind, t.Subject)
	if err := q.Count(&open).Error; err != nil || open > 0 {
		return err
	}
	return s.AddTask(ctx, t)
}

// FindTask is the kind of job that sends the clerk to look for a cylinder.
const FindTask = "find"

// Sought tells which cylinders the clerk still has to look for.
func (s *Store) Sought(ctx context.Context) (map[unit.Tag]bool, error) {
	var subjects []string
	q := s.db(ctx).Model(&models.Task{}).Where("role = 'clerk' AND kind = ? AND closed_at = 0", FindTask)
	if err := q.Pluck("subject", &subjects).Error; err != nil {
		return nil, err
	}
	tags := make(map[unit.Tag]bool, len(subjects))
	for _, subject := range subjects {
		tags[unit.Tag(strings.TrimPrefix(subject, Subject("")))] = true
	}
	return tags, nil
}

// CloseTasksAbout ends every job of a kind about one thing: it has come about in another way.
func (s *Store) CloseTasksAbout(ctx context.Context, kind, subject string, at unit.Instant, by string) error {
	q := "UPDATE tasks SET closed_at = ?, closed_by = ? WHERE kind = ? AND subject = ? AND closed_at = 0"
	return s.db(ctx).Exec(q, at, by, kind, subject).Error
}

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

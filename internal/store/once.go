package store

import (
	"context"
	"encoding/json"
	"time"

	"gorm.io/gorm/clause"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// Key is what makes a request the same request: who sent it, their key, and the hash of what they sent.
type Key struct {
	Person int64
	Key    string
	Hash   string
}

// Once runs fn in a transaction and keeps its answer under the key. The same request again gets the same answer and has
// no further effect; a request at the same moment waits for it. Without a key it is a plain Tx.
func Once[T any](ctx context.Context, s *Store, k Key, fn func(tx *Store) (T, error)) (T, error) {
	var answer T
	err := s.Tx(ctx, func(tx *Store) error {
		if k.Key == "" {
			var err error
			answer, err = fn(tx)
			return err
		}
		kept, err := tx.claim(ctx, k)
		if err != nil {
			return err
		}
		if kept != "" {
			return json.Unmarshal([]byte(kept), &answer)
		}
		if answer, err = fn(tx); err != nil {
			return err
		}
		return tx.keep(ctx, k, answer)
	})
	return answer, err
}

// claim takes the key, or gives the answer that is kept under it. On PostgreSQL the insert waits for a concurrent claim to end.
func (s *Store) claim(ctx context.Context, k Key) (string, error) {
	row := models.Answer{PersonID: k.Person, Key: k.Key, Hash: k.Hash, RecordedAt: unit.InstantOf(time.Now())}
	res := s.db(ctx).Clauses(clause.OnConflict{DoNothing: true}).Create(&row)
	if res.Error != nil || res.RowsAffected == 1 {
		return "", res.Error
	}
	var kept models.Answer
	if err := s.db(ctx).Where("person_id = ? AND key = ?", k.Person, k.Key).Take(&kept).Error; err != nil {
		return "", err
	}
	if kept.Hash != k.Hash {
		return "", problem.New(problem.Invalid, "this idempotency key was used for another request",
			"use a new key for a new request, or send the same request again")
	}
	return kept.Body, nil
}

func (s *Store) keep(ctx context.Context, k Key, answer any) error {
	body, err := json.Marshal(answer)
	if err != nil {
		return err
	}
	return s.db(ctx).Model(&models.Answer{}).Where("person_id = ? AND key = ?", k.Person, k.Key).
		UpdateColumn("body", string(body)).Error
}

// ForgetAnswers drops the answers that were kept before a moment; nobody repeats a request that late.
func (s *Store) ForgetAnswers(ctx context.Context, before unit.Instant) error {
	return s.Tx(ctx, func(tx *Store) error {
		return tx.db(ctx).Where("recorded_at < ?", before).Delete(&models.Answer{}).Error
	})
}

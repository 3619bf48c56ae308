package store_test

import (
	"fmt"
	"sync"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

// given is an answer as a use case gives it.
type given struct {
	Seq  int64    `json:"seq"`
	Tags []string `json:"tags"`
}

// takeOne has one effect each time it is run, and says which.
func takeOne(t *testing.T, s *store.Store, k store.Key) (given, error) {
	t.Helper()
	return store.Once(t.Context(), s, k, func(tx *store.Store) (given, error) {
		if err := note(t, tx, "lot:1"); err != nil {
			return given{}, err
		}
		h, err := tx.Head(t.Context())
		return given{Seq: h.Seq, Tags: []string{fmt.Sprint(h.Seq)}}, err
	})
}

func TestOnceRepeatsTheAnswer(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ada, bea := addPerson(t, s, "Ada"), addPerson(t, s, "Bea")
		key := store.Key{Person: ada.ID, Key: "k", Hash: "h"}
		tests := []struct {
			name string
			key  store.Key
			want int64
		}{
			{"the first time", key, 1},
			{"again", key, 1},
			{"by somebody else", store.Key{Person: bea.ID, Key: "k", Hash: "h"}, 2},
			{"by somebody else with another body", store.Key{Person: bea.ID, Key: "k2", Hash: "other"}, 3},
			{"under another key", store.Key{Person: ada.ID, Key: "k2", Hash: "h"}, 4},
			{"without a key", store.Key{Person: ada.ID, Hash: "h"}, 5},
			{"without a key again", store.Key{Person: ada.ID, Hash: "h"}, 6},
			{"the first one once more", key, 1},
		}
		for _, tt := range tests {
			got, err := takeOne(t, s, tt.key)
			if err != nil || got.Seq != tt.want || len(got.Tags) != 1 || got.Tags[0] != fmt.Sprint(tt.want) {
				t.Errorf("%s: %+v, %v, want %d", tt.name, got, err, tt.want)
			}
		}
		if n := head(t, s).Seq; n != 6 {
			t.Errorf("%d effects", n)
		}
	})
}

func TestOnceRefusesAKeyForAnotherBody(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ada := addPerson(t, s, "Ada")
		if _, err := takeOne(t, s, store.Key{Person: ada.ID, Key: "k", Hash: "h"}); err != nil {
			t.Fatal(err)
		}
		_, err := takeOne(t, s, store.Key{Person: ada.ID, Key: "k", Hash: "other"})
		if problem.KindOf(err) != problem.Invalid || head(t, s).Seq != 1 {
			t.Errorf("%v, head %+v", err, head(t, s))
		}
	})
}

// Of sixteen at the same moment one has the effect, and the others wait for its answer.
func TestOnceAtTheSameMoment(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ada := addPerson(t, s, "Ada")
		var all sync.WaitGroup
		start := make(chan struct{})
		for range 16 {
			all.Go(func() {
				<-start
				got, err := takeOne(t, s, store.Key{Person: ada.ID, Key: "k", Hash: "h"})
				if err != nil || got.Seq != 1 || len(got.Tags) != 1 {
					t.Errorf("%+v, %v", got, err)
				}
			})
		}
		close(start)
		all.Wait()
		if n := head(t, s).Seq; n != 1 {
			t.Errorf("%d effects", n)
		}
	})
}

// A failure is no answer: nothing of it is kept, and the same request may be sent again.
func TestOnceForgetsAFailure(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		key := store.Key{Person: addPerson(t, s, "Ada").ID, Key: "k", Hash: "h"}
		refusal := problem.New(problem.Refused, "it is on hold", "release it first")
		_, err := store.Once(t.Context(), s, key, func(tx *store.Store) (given, error) {
			if err := note(t, tx, "lot:1"); err != nil {
				return given{}, err
			}
			return given{Seq: 77}, refusal
		})
		if err != error(refusal) || head(t, s).Seq != 0 {
			t.Errorf("%v, head %+v", err, head(t, s))
		}
		if got, err := takeOne(t, s, key); err != nil || got.Seq != 1 {
			t.Errorf("again: %+v, %v", got, err)
		}
	})
}

func TestForgetAnswersDropsOldOnes(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := storetest.Open(t, address), second(t, address)
		ada := addPerson(t, s, "Ada")
		for _, key := range []string{"old", "new"} {
			if _, err := takeOne(t, s, store.Key{Person: ada.ID, Key: key, Hash: "h"}); err != nil {
				t.Fatal(err)
			}
		}
		exec(t, db, "UPDATE answers SET recorded_at = CASE key WHEN 'old' THEN 999 ELSE 1000 END")
		if err := s.ForgetAnswers(t.Context(), unit.Instant(1000)); err != nil {
			t.Fatal(err)
		}
		old, err := takeOne(t, s, store.Key{Person: ada.ID, Key: "old", Hash: "h"})
		if err != nil || old.Seq != 3 {
			t.Errorf("the old key: %+v, %v", old, err)
		}
		kept, err := takeOne(t, s, store.Key{Person: ada.ID, Key: "new", Hash: "h"})
		if err != nil || kept.Seq != 2 {
			t.Errorf("the new key: %+v, %v", kept, err)
		}
	})
}

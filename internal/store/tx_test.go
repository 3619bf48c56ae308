package store_test

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

var errOnPurpose = errors.New("on purpose")

func note(t *testing.T, tx *store.Store, subject string) error {
	return tx.Append(t.Context(), entry("note", subject))
}

func subjects(t *testing.T, s *store.Store) []string {
	t.Helper()
	entries, err := s.Entries(t.Context(), 0, 1000)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Subject)
	}
	return names
}

func TestTxKeepsAllOrNothing(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		write(t, s, func(tx *store.Store) error { return note(t, tx, "lot:1") })
		err := s.Tx(t.Context(), func(tx *store.Store) error {
			if err := note(t, tx, "lot:2"); err != nil {
				return err
			}
			if inside := subjects(t, tx); !slices.Equal(inside, []string{"lot:1", "lot:2"}) {
				t.Errorf("inside it reads %v", inside)
			}
			if outside := subjects(t, s); !slices.Equal(outside, []string{"lot:1"}) {
				t.Errorf("outside it reads %v", outside)
			}
			return errOnPurpose
		})
		if !errors.Is(err, errOnPurpose) {
			t.Errorf("answered %v", err)
		}
		if got := subjects(t, s); !slices.Equal(got, []string{"lot:1"}) {
			t.Errorf("kept %v", got)
		}
	})
}

func TestTxPassesAProblemOn(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		refusal := problem.New(problem.Refused, "it is on hold", "release it first")
		if err := s.Tx(t.Context(), func(*store.Store) error { return refusal }); err != error(refusal) {
			t.Errorf("answered %v", err)
		}
	})
}

func TestTxNeverNests(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		err := s.Tx(t.Context(), func(tx *store.Store) error {
			return tx.Tx(t.Context(), func(inner *store.Store) error { return note(t, inner, "lot:1") })
		})
		if err == nil || len(subjects(t, s)) != 0 {
			t.Errorf("answered %v, kept %v", err, subjects(t, s))
		}
	})
}

func TestTxDoesNotBeginWhenTheCallerHasGone(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		gone, leave := context.WithCancel(t.Context())
		leave()
		for range 20 { // a race between two ready channels must not let one in
			err := s.Tx(gone, func(tx *store.Store) error { return note(t, tx, "lot:1") })
			if !errors.Is(err, context.Canceled) {
				t.Fatalf("answered %v", err)
			}
		}
		if got := subjects(t, s); len(got) != 0 {
			t.Errorf("kept %v", got)
		}
	})
}

// A caller who gives up while waiting gets an answer at once, and nothing is written for them later.
func TestTxEndsTheWaitOfACallerWhoGivesUp(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		release, held := make(chan struct{}), make(chan struct{})
		var first sync.WaitGroup
		first.Go(func() {
			if err := s.Tx(t.Context(), func(tx *store.Store) error {
				close(held)
				<-release
				return note(t, tx, "lot:1")
			}); err != nil {
				t.Error(err)
			}
		})
		<-held
		hurried, stop := context.WithTimeout(t.Context(), 50*time.Millisecond)
		defer stop()
		if err := s.Tx(hurried, func(tx *store.Store) error { return note(t, tx, "lot:2") }); err == nil {
			t.Error("it was written")
		}
		close(release)
		first.Wait()
		if got := subjects(t, s); !slices.Equal(got, []string{"lot:1"}) {
			t.Errorf("kept %v", got)
		}
	})
}

// Transactions that share a commit stand or fall alone: an error, a panic and a broken constraint undo their own work only.
func TestTxOfAGroupStandAlone(t *testing.T) {
	ends := []func(*testing.T, *store.Store) error{
		func(*testing.T, *store.Store) error { return nil },
		func(*testing.T, *store.Store) error { return errOnPurpose },
		func(*testing.T, *store.Store) error { panic(errOnPurpose) },
		func(t *testing.T, tx *store.Store) error {
			return tx.Exec(t.Context(), "INSERT INTO people (name, role, password_hash, created_at) VALUES ('', 'clerk', '', 1)")
		},
	}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		var all sync.WaitGroup
		var panics atomic.Int32
		var want []string
		start := make(chan struct{})
		for i := range 64 {
			end, subject := ends[0], fmt.Sprintf("lot:%d", i)
			if i%3 == 0 {
				end = ends[1+i/3%3]
			} else {
				want = append(want, subject)
			}
			all.Go(func() {
				defer func() {
					if p := recover(); p == error(errOnPurpose) {
						panics.Add(1)
					} else if p != nil {
						t.Errorf("panic %v", p)
					}
				}()
				<-start
				err := s.Tx(t.Context(), func(tx *store.Store) error {
					if err := note(t, tx, subject); err != nil {
						return err
					}
					return end(t, tx)
				})
				if (err == nil) != (i%3 != 0) {
					t.Errorf("%s: %v", subject, err)
				}
			})
		}
		close(start)
		all.Wait()
		got := subjects(t, s)
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("kept\n%v, want\n%v", got, want)
		}
		if panics.Load() != 7 {
			t.Errorf("%d panics came back", panics.Load())
		}
		if v, err := s.Verify(t.Context()); err != nil || !v.Sound() {
			t.Errorf("%+v, %v", v, err)
		}
	})
}

// A test, or anything else that ends its goroutine inside fn, must not take the writer along.
func TestTxSurvivesAGoroutineThatEnds(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		var one sync.WaitGroup
		one.Go(func() {
			_ = s.Tx(t.Context(), func(tx *store.Store) error {
				if err := note(t, tx, "lot:1"); err != nil {
					t.Error(err)
				}
				runtime.Goexit()
				return nil
			})
			t.Error("it went on")
		})
		one.Wait()
		write(t, s, func(tx *store.Store) error { return note(t, tx, "lot:2") })
		if got := subjects(t, s); !slices.Equal(got, []string{"lot:2"}) {
			t.Errorf("kept %v", got)
		}
	})
}

func TestTxAfterCloseFails(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, err := store.Open(t.Context(), address, store.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		if err := s.Tx(t.Context(), func(*store.Store) error { return nil }); err == nil {
			t.Error("a transaction after the end")
		}
	})
}

// What fn read stays true until it has written: of many who each see the place empty, one puts something there.
func TestTxDecidesOnWhatStillHolds(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		taken := problem.New(problem.Conflict, "there is one already", "look again")
		var all sync.WaitGroup
		var won atomic.Int32
		for i := range 16 {
			all.Go(func() {
				err := s.Tx(t.Context(), func(tx *store.Store) error {
					if full, err := tx.AnyPassword(t.Context()); err != nil || full {
						return errors.Join(err, taken)
					}
					return tx.AddPerson(t.Context(), &models.Person{Name: fmt.Sprint("Ada ", i), Role: "clerk", PasswordHash: "$"})
				})
				switch {
				case err == nil:
					won.Add(1)
				case problem.KindOf(err) != problem.Conflict:
					t.Error(err)
				}
			})
		}
		all.Wait()
		if won.Load() != 1 {
			t.Errorf("%d put one there", won.Load())
		}
	})
}

// Two who change the same cylinders in opposite order both come through.
func TestTxNeverDeadlocks(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, _ := stock(t, address)
		tags := []unit.Tag{"2222-222A", "3333-333B"}
		var both sync.WaitGroup
		for _, order := range [][]unit.Tag{{tags[0], tags[1]}, {tags[1], tags[0]}} {
			both.Go(func() {
				for range 20 {
					if err := s.Tx(t.Context(), func(tx *store.Store) error {
						for _, tag := range order {
							if err := readGauge(t.Context(), tx, tag); err != nil {
								return err
							}
						}
						return nil
					}); err != nil {
						t.Error(err)
					}
				}
			})
		}
		both.Wait()
		if v, err := s.Verify(t.Context()); err != nil || !v.Sound() || v.Entries != 7+80 {
			t.Errorf("%+v, %v", v, err)
		}
	})
}

// A cylinder that somebody else changed since it was read stays as they left it.
func TestPutCylinderRefusesAStaleOne(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, _ := stock(t, address)
		stale, err := s.CylinderByTag(t.Context(), "2222-222A")
		if err != nil {
			t.Fatal(err)
		}
		write(t, s, func(tx *store.Store) error { return readGauge(t.Context(), tx, stale.Tag) })
		err = s.Tx(t.Context(), func(tx *store.Store) error {
			_, err := tx.PutCylinder(t.Context(), store.Change{Before: stale, After: stale, From: "VAN-1", To: "VAN-1"}, entry("reading", ""))
			return err
		})
		now, missing := s.CylinderByTag(t.Context(), stale.Tag)
		if missing != nil || problem.KindOf(err) != problem.Conflict || now.Version != stale.Version+1 || head(t, s).Seq != 8 {
			t.Errorf("%v, version %d, head %+v", err, now.Version, head(t, s))
		}
	})
}

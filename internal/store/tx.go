package store

import (
	"context"
	"errors"
	"fmt"

	"gorm.io/gorm"
)

// mostInGroup bounds how many transactions share one commit, and so how long the first of them waits.
const mostInGroup = 64

// writerLock is the advisory lock that lets PostgreSQL's transactions in one at a time, as SQLite does: what fn read stays
// true until it has written, no two of them can deadlock, and the ledger grows in order.
const writerLock = 7_250_117

var (
	errNested     = errors.New("store: a transaction inside a transaction")
	errClosed     = errors.New("store: the database is closed")
	errUnfinished = errors.New("store: a transaction that did not come to its end")
)

// Tx runs fn in a transaction of its own: all of it is kept, or nothing. It returns after the commit is durable.
// Transactions run one after the other. On SQLite those that wait at the same time share one commit, each behind its own savepoint.
func (s *Store) Tx(ctx context.Context, fn func(tx *Store) error) error {
	switch {
	case s.tx != nil:
		return errNested
	case s.core.postgres:
		return s.core.postgresTx(ctx, fn)
	case s.core.jobs == nil:
		return s.core.seedTx(ctx, fn)
	}
	j := &job{ctx: ctx, turn: make(chan *Store), ran: make(chan struct{}), done: make(chan struct{})}
	select {
	case s.core.jobs <- j:
		return j.wait(fn)
	case <-s.core.closing:
		return errClosed
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (c *core) postgresTx(ctx context.Context, fn func(tx *Store) error) error {
	return translate(c.write.WithContext(ctx).Transaction(func(tx *gorm.DB) error {
		if err := tx.Exec("SELECT pg_advisory_xact_lock(?)", writerLock).Error; err != nil {
			return err
		}
		return fn(&Store{core: c, tx: tx})
	}))
}

// job is one transaction on its way through the writer. Its fn runs on the caller's goroutine, so that a panic unwinds there.
type job struct {
	ctx  context.Context
	turn chan *Store   // the writer hands over the transaction
	ran  chan struct{} // fn is through
	done chan struct{} // the group is committed, or lost
	err  error
}

// wait runs fn when it is this job's turn, and returns when its group has ended.
func (j *job) wait(fn func(tx *Store) error) error {
	select {
	case tx := <-j.turn:
		j.run(tx, fn)
	case <-j.done:
	}
	return j.err
}

func (j *job) run(tx *Store, fn func(tx *Store) error) {
	defer func() {
		close(j.ran)
		<-j.done
	}()
	j.err = errUnfinished // what stays where fn panics
	j.err = translate(fn(tx))
}

// commitInGroups is the one writer: it takes the jobs that wait, up to mostInGroup, and commits them together.
func (c *core) commitInGroups() {
	defer close(c.stopped)
	for {
		select {
		case first := <-c.jobs:
			c.commitGroup(first)
		case <-c.closing:
			return
		}
	}
}

func (c *core) commitGroup(first *job) {
	group := []*job{first}
	err := c.write.Transaction(func(tx *gorm.DB) error {
		if err := c.giveTurn(tx, first); err != nil {
			return err
		}
		for len(group) < mostInGroup {
			select {
			case next := <-c.jobs:
				group = append(group, next)
				if err := c.giveTurn(tx, next); err != nil {
					return err
				}
			default:
				return nil
			}
		}
		return nil
	})
	for _, j := range group {
		if j.err == nil && err != nil {
			j.err = translate(err)
		}
		close(j.done)
	}
}

// giveTurn lets one job run behind a savepoint. It gives an error only where the whole group is lost.
func (c *core) giveTurn(tx *gorm.DB, j *job) error {
	if j.err = j.ctx.Err(); j.err != nil {
		return nil
	}
	return behindSavepoint(tx, func() error {
		j.turn <- &Store{core: c, tx: tx}
		<-j.ran
		return j.err
	})
}

// behindSavepoint undoes what fn did where fn fails. Its own error means that the transaction around it is lost.
func behindSavepoint(tx *gorm.DB, fn func() error) error {
	if err := tx.Exec("SAVEPOINT job").Error; err != nil {
		return err
	}
	if fn() != nil {
		if err := tx.Exec("ROLLBACK TO job").Error; err != nil {
			return fmt.Errorf("rolling back one of a group: %w", err)
		}
	}
	return tx.Exec("RELEASE job").Error
}

// seedTx is Tx while a store is seeded: everything lives in the one transaction that Seed opened.
func (c *core) seedTx(ctx context.Context, fn func(tx *Store) error) error {
	err := ctx.Err()
	if err != nil {
		return err
	}
	lost := behindSavepoint(c.write, func() error {
		err = translate(fn(&Store{core: c, tx: c.write}))
		return err
	})
	return errors.Join(err, lost)
}

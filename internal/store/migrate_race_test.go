package store_test

import (
	"context"
	"errors"
	"sync"
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// Several servers that start at once on one empty PostgreSQL schema all come up, whoever of them makes the tables.
func TestServersThatStartTogether(t *testing.T) {
	for range 3 {
		address := storetest.PostgresSchema(t)
		var (
			group sync.WaitGroup
			start = make(chan struct{})
			errs  = make([]error, 6)
		)
		for i := range errs {
			group.Go(func() {
				<-start
				s, err := store.Open(t.Context(), address, store.Options{})
				if err == nil {
					_, err = s.CatalogueSizes(t.Context())
					err = errors.Join(err, s.Close())
				}
				errs[i] = err
			})
		}
		close(start)
		group.Wait()
		if err := errors.Join(errs...); err != nil {
			t.Fatal(err)
		}
	}
}

// Whoever waits for the schema can give up waiting.
func TestWaitingForTheSchemaEnds(t *testing.T) {
	address := storetest.PostgresSchema(t)
	db := second(t, address)
	conn, err := db.Conn(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if _, err := conn.ExecContext(t.Context(), "SELECT pg_advisory_lock($1)", store.SchemaLock); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	opened := make(chan error, 1)
	go func() {
		_, err := store.Open(ctx, address, store.Options{})
		opened <- err
	}()
	waiting := `SELECT COUNT(*) FROM pg_locks WHERE locktype = 'advisory' AND objid = $1 AND NOT granted`
	for n := 0; n == 0; {
		if err := db.QueryRowContext(t.Context(), waiting, store.SchemaLock).Scan(&n); err != nil {
			t.Fatal(err)
		}
	}
	cancel()
	if err := <-opened; !errors.Is(err, context.Canceled) {
		t.Errorf("it ended with %v", err)
	}
}

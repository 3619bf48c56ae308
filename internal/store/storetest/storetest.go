// Package storetest gives tests a fresh store, on each database that is at hand.
package storetest

import (
	"context"
	"crypto/rand"
	"database/sql"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	_ "github.com/jackc/pgx/v5/stdlib" // registers "pgx" for making schemas

	"spanroom/internal/store"
)

// PostgresVariable names the environment variable that holds the address of a PostgreSQL server for tests.
const PostgresVariable = "SPANROOM_TEST_POSTGRES"

// Need gives what an environment variable names: a server, a program, a folder that a test cannot do without. Where it is
// not set the test is skipped, and where SPANROOM_TEST_DEMAND=1 says that nothing may be missing it fails.
func Need(t testing.TB, variable string) string {
	t.Helper()
	value := os.Getenv(variable)
	switch {
	case value != "":
	case os.Getenv("SPANROOM_TEST_DEMAND") == "1":
		t.Fatal(variable + " is not set, and SPANROOM_TEST_DEMAND=1 demands it")
	default:
		t.Skip("not run: set " + variable + " to run this")
	}
	return value
}

// New gives a store in a new SQLite file.
func New(t testing.TB) *store.Store {
	t.Helper()
	return Open(t, SQLiteFile(t))
}

// Each runs a test on SQLite and, where an address is given, on PostgreSQL.
func Each(t *testing.T, test func(t *testing.T, s *store.Store)) {
	t.Helper()
	EachAddress(t, func(t *testing.T, address string) { test(t, Open(t, address)) })
}

// EachAddress is Each for a test that opens the new and empty databases itself.
func EachAddress(t *testing.T, test func(t *testing.T, address string)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) { test(t, SQLiteFile(t)) })
	t.Run("postgres", func(t *testing.T) { test(t, PostgresSchema(t)) })
}

// Open opens the database at an address for as long as the test runs.
func Open(t testing.TB, address string) *store.Store {
	t.Helper()
	s, err := store.Open(context.Background(), address, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// PostgresSchema makes an empty schema that lives as long as the test, and gives its address.
func PostgresSchema(t testing.TB) string {
	t.Helper()
	u, err := url.Parse(Need(t, PostgresVariable))
	if err != nil {
		t.Fatal(err)
	}
	db, err := sql.Open("pgx", u.String())
	if err != nil {
		t.Fatal(err)
	}
	name := "test_" + strings.ToLower(rand.Text())
	if _, err := db.Exec("CREATE SCHEMA " + name); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if _, err := db.Exec("DROP SCHEMA " + name + " CASCADE"); err != nil {
			t.Error(err)
		}
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	q := u.Query()
	q.Set("search_path", name)
	u.RawQuery = q.Encode()
	return u.String()
}

// SQLiteFile gives the path of a SQLite file that is not there yet.
func SQLiteFile(t testing.TB) string { return filepath.Join(t.TempDir(), "test.db") }

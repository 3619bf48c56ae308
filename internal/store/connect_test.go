package store

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"gorm.io/gorm"
)

// pragmas reads settings from every connection of a pool.
func pragmas(t *testing.T, db *gorm.DB, name string) []string {
	t.Helper()
	pool, err := db.DB()
	if err != nil {
		t.Fatal(err)
	}
	var values []string
	for range pool.Stats().MaxOpenConnections {
		conn, err := pool.Conn(t.Context()) // held until the end, so that the next one is another
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		var value string
		if err := conn.QueryRowContext(t.Context(), "PRAGMA "+name).Scan(&value); err != nil {
			t.Fatal(err)
		}
		values = append(values, value)
	}
	return values
}

// An acknowledged write outlives a power cut only with these settings, and the drivers' own defaults are others.
func TestSQLiteSettings(t *testing.T) {
	s, err := Open(t.Context(), filepath.Join(t.TempDir(), "test.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	tests := []struct {
		pool        *gorm.DB
		name        string
		value       string
		connections int
	}{
		{s.core.write, "synchronous", "2", 1},
		{s.core.write, "journal_mode", "wal", 1},
		{s.core.write, "foreign_keys", "1", 1},
		{s.core.write, "busy_timeout", "5000", 1},
		{s.core.read, "journal_mode", "wal", sqliteReaders},
		{s.core.read, "busy_timeout", "5000", sqliteReaders},
	}
	for _, tt := range tests {
		got := pragmas(t, tt.pool, tt.name)
		if len(got) != tt.connections {
			t.Errorf("%s: %d connections", tt.name, len(got))
		}
		for _, value := range got {
			if value != tt.value {
				t.Errorf("%s is %s, want %s", tt.name, value, tt.value)
			}
		}
	}
	if err := s.core.read.Exec("DELETE FROM tasks").Error; err == nil {
		t.Error("a reader wrote")
	}
}

func TestSettingsAreAsserted(t *testing.T) {
	for name, tt := range map[string]struct{ statement, says string }{
		"synchronous":  {"PRAGMA synchronous = NORMAL", "synchronous = 1, need 2"},
		"foreign keys": {"PRAGMA foreign_keys = OFF", "foreign_keys = 0, need 1"},
		"journal":      {"PRAGMA journal_mode = DELETE", "journal_mode = delete, need wal"},
	} {
		c := &core{address: filepath.Join(t.TempDir(), "test.db")}
		var err error
		if c.write, err = openSQLite(t.Context(), sqliteWriter(c.address, durable), 1); err != nil {
			t.Fatal(err)
		}
		if err := c.assertSettings(t.Context(), durable); err != nil {
			t.Errorf("%s, before: %v", name, err)
		}
		if err := c.write.Exec(tt.statement).Error; err != nil {
			t.Fatal(err)
		}
		if err := c.assertSettings(t.Context(), durable); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %v", name, err)
		}
		if err := c.disconnect(); err != nil {
			t.Error(err)
		}
	}
}

func TestOpenTakesAnyFileName(t *testing.T) {
	for _, name := range []string{"with space.db", "what?.db", "50%.db", "a#b&c=d.db", "größe.db", "it's.db"} {
		path := filepath.Join(t.TempDir(), name)
		s, err := Open(t.Context(), path, Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if _, err := s.Backup(t.Context(), path+".copy"); err != nil {
			t.Errorf("%s: copying: %v", name, err)
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
		if found, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*")); err != nil || len(found) != 2 || found[0] != path {
			t.Errorf("%s: the files are %q, %v", name, found, err)
		}
	}
}

func TestOpenRefuses(t *testing.T) {
	for name, address := range map[string]string{
		"a folder":        t.TempDir(),
		"no such folder":  filepath.Join(t.TempDir(), "none", "test.db"),
		"memory":          ":memory:",
		"nobody answers":  "postgres://nobody@127.0.0.1:1/none?connect_timeout=2",
		"a wrong address": "postgres://127.0.0.1:notaport/",
	} {
		if s, err := Open(context.Background(), address, Options{}); err == nil {
			t.Errorf("%s: opened", name)
			s.Close()
		}
	}
	if left, err := filepath.Glob(":memory:*"); err != nil || len(left) != 0 {
		t.Errorf("refusing left %q, %v", left, err)
	}
}

func TestTidyAndReady(t *testing.T) {
	s, err := Open(t.Context(), filepath.Join(t.TempDir(), "test.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Tidy(t.Context()); err != nil {
		t.Error(err)
	}
	if err := s.Ready(t.Context()); err != nil {
		t.Error(err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	if err := s.Ready(t.Context()); err == nil {
		t.Error("ready after its end")
	}
}

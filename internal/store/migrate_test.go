package store_test

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// nextSchema is the schema as it is with one more step, the same for both databases.
func nextSchema(t *testing.T, step string) fstest.MapFS {
	t.Helper()
	all := fstest.MapFS{}
	err := fs.WalkDir(store.Migrations, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(store.Migrations, name)
		all[name] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, dialect := range []string{"sqlite", "postgres"} {
		all["migrations/"+dialect+"/99999_next.sql"] = &fstest.MapFile{Data: []byte("-- +goose Up\n" + step + ";\n")}
	}
	return all
}

func TestMigrateCopiesWhatWasThere(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		if err := s.Migrate(t.Context(), nextSchema(t, "ALTER TABLE places ADD COLUMN colour TEXT NOT NULL DEFAULT 'grey'")); err != nil {
			t.Fatal(err)
		}
		if n := count(t, db, "SELECT COUNT(*) FROM places WHERE colour = 'grey'"); n != 2 {
			t.Errorf("%d places in the new schema", n)
		}
		if store.IsPostgres(address) {
			return
		}
		copies, err := filepath.Glob(address + ".before-99999.*")
		if err != nil || len(copies) != 1 {
			t.Fatalf("copies: %v, %v", copies, err)
		}
		before := storetest.Open(t, copies[0])
		if v, err := before.Verify(t.Context()); err != nil || !v.Sound() || v.Head != head(t, s) {
			t.Errorf("the copy: %+v, %v", v, err)
		}
		if n := count(t, second(t, copies[0]), "SELECT COUNT(*) FROM pragma_table_info('places') WHERE name = 'colour'"); n != 0 {
			t.Error("the copy has the new schema")
		}
	})
}

// A step that fails leaves the old schema, with which the program goes on; trying again is no worse.
func TestMigrateThatFailsChangesNothing(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s, db := stock(t, address)
		broken := nextSchema(t, "DROP TABLE tasks; DROP TABLE nowhere")
		for range 2 {
			if err := s.Migrate(t.Context(), broken); err == nil || !strings.Contains(err.Error(), "nowhere") {
				t.Errorf("%v", err)
			}
		}
		if n := count(t, db, "SELECT COUNT(*) FROM tasks"); n != 0 {
			t.Errorf("%d tasks", n)
		}
		if v, err := storetest.Open(t, address).Verify(t.Context()); err != nil || !v.Sound() {
			t.Errorf("%+v, %v", v, err)
		}
	})
}

func TestOpenRefusesANewerSchema(t *testing.T) {
	storetest.EachAddress(t, func(t *testing.T, address string) {
		s := storetest.Open(t, address)
		if err := s.Migrate(t.Context(), nextSchema(t, "CREATE TABLE more (id BIGINT)")); err != nil {
			t.Fatal(err)
		}
		_, err := store.Open(t.Context(), address, store.Options{})
		if err == nil || !strings.Contains(err.Error(), "use a newer spanroom") {
			t.Errorf("%v", err)
		}
	})
}

// A released migration never changes: databases out there have it already. testdata/store/migrations.sha256 holds what was
// released; until the first release its lines may be renewed, after it lines are only added.
func TestReleasedMigrationsNeverChange(t *testing.T) {
	released, err := os.ReadFile("../../testdata/store/migrations.sha256")
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{}
	for line := range strings.Lines(string(released)) {
		sum, name, _ := strings.Cut(strings.TrimSpace(line), "  ")
		want[name] = sum
	}
	got := map[string]string{}
	for _, dialect := range []string{"sqlite", "postgres"} {
		files, err := fs.Glob(store.Migrations, path.Join("migrations", dialect, "*.sql"))
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range files {
			data, err := fs.ReadFile(store.Migrations, name)
			if err != nil {
				t.Fatal(err)
			}
			sum := sha256.Sum256(data)
			got[strings.TrimPrefix(name, "migrations/")] = hex.EncodeToString(sum[:])
		}
	}
	for _, name := range slices.Sorted(maps.Keys(got)) {
		if got[name] != want[name] {
			t.Errorf("not as released; a new migration adds this line:\n%s  %s", got[name], name)
		}
		delete(want, name)
	}
	for name := range want {
		t.Errorf("%s was released and is gone", name)
	}
}

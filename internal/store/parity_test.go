package store_test

import (
	"database/sql"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/store/storetest"
)

// schema is a database's schema in one form for both databases, as lines such as "people: column name text not null".
type schema map[string]bool

func (s schema) add(table, form string, values ...any) {
	s[table+": "+fmt.Sprintf(form, values...)] = true
}

// Both databases hold the same: columns with their kinds, keys, uniques, references, indexes, and checks under the same names.
func TestSchemasAreTheSame(t *testing.T) {
	postgres := storetest.PostgresSchema(t)
	storetest.Open(t, postgres)
	file := storetest.SQLiteFile(t)
	storetest.Open(t, file)
	s, p := sqliteSchema(t, second(t, file)), postgresSchema(t, second(t, postgres))
	if len(s) < 300 {
		t.Errorf("only %d lines were read", len(s))
	}
	reportOnly(t, "SQLite", s, p)
	reportOnly(t, "PostgreSQL", p, s)
}

func reportOnly(t *testing.T, name string, has, other schema) {
	t.Helper()
	var only []string
	for line := range has {
		if !other[line] {
			only = append(only, line)
		}
	}
	slices.Sort(only)
	for _, line := range only {
		t.Errorf("only %s has %s", name, line)
	}
}

var kinds = map[string]string{"INTEGER": "int", "TEXT": "text", "BLOB": "blob", "bigint": "int", "text": "text", "bytea": "blob", "boolean": "bool"}

// addColumn takes what a column is filled with where nobody says; PostgreSQL adds the kind to it and writes FALSE small.
func addColumn(s schema, table, column, kind string, required bool, preset string) {
	preset = strings.ToLower(strings.TrimSuffix(preset, "::text"))
	s.add(table, "column %s %s required=%v default=%q", column, kind, required, preset)
}

var (
	indexForm   = regexp.MustCompile(`^CREATE (UNIQUE )?INDEX (\w+) ON (?:\w+\.)?(\w+) (?:USING btree )?\((.*?)\)(?: WHERE (.*))?$`)
	plainSQL    = strings.NewReplacer("(", "", ")", "", "::text", "")
	uniqueForm  = regexp.MustCompile(`CONSTRAINT (\w+) UNIQUE \(([^)]*)\)`)
	foreignForm = regexp.MustCompile(`(?m)^ *(\w+) .*CONSTRAINT (\w+) REFERENCES (\w+) \((\w+)\)`)
	checkForm   = regexp.MustCompile(`CONSTRAINT (\w+) CHECK`)
)

func addIndex(t *testing.T, s schema, definition string) {
	t.Helper()
	m := indexForm.FindStringSubmatch(definition)
	if m == nil {
		t.Fatalf("an index in another form: %s", definition)
	}
	s.add(m[3], "%sindex %s (%s) where %s", strings.ToLower(m[1]), m[2], m[4], plainSQL.Replace(m[5]))
}

// sqliteSchema reads kinds and keys from the pragmas. SQLite keeps the names of constraints in the text of its tables only;
// the pragmas' counts show that none is without a name.
func sqliteSchema(t *testing.T, db *sql.DB) schema {
	t.Helper()
	s := schema{}
	for _, row := range rows(t, db, `SELECT m.name, m.sql, l.strict FROM sqlite_master m JOIN pragma_table_list l ON l.name = m.name AND l.schema = 'main'
		WHERE m.type = 'table' AND m.name NOT LIKE 'sqlite_%' AND m.name <> 'goose_db_version'`) {
		table, text := row[0], row[1]
		if row[2] != "1" {
			t.Errorf("%s is not STRICT", table)
		}
		uniques, foreigns, checks := uniqueForm.FindAllStringSubmatch(text, -1), foreignForm.FindAllStringSubmatch(text, -1), checkForm.FindAllStringSubmatch(text, -1)
		for _, m := range uniques {
			s.add(table, "unique %s (%s)", m[1], m[2])
		}
		for _, m := range foreigns {
			s.add(table, "foreign %s (%s) to %s(%s)", m[2], m[1], m[3], m[4])
		}
		bools := map[string]bool{}
		for _, m := range checks {
			if column, ok := strings.CutSuffix(m[1], "_bool"); ok {
				bools[column] = true // SQLite's own way to have a boolean
				continue
			}
			s.add(table, "check %s", m[1])
		}
		addSQLiteColumns(t, db, s, table, bools)
		named := fmt.Sprint(len(uniques), len(foreigns), strings.Count(text, "CHECK ("))
		counted := rows(t, db, fmt.Sprintf(`SELECT (SELECT COUNT(*) FROM pragma_index_list('%s') WHERE origin = 'u') || ' ' ||
			(SELECT COUNT(*) FROM pragma_foreign_key_list('%s')) || ' %d'`, table, table, len(checks)))[0][0]
		if named != counted {
			t.Errorf("%s: uniques, references and checks with a name %s, of %s", table, named, counted)
		}
	}
	for _, row := range rows(t, db, "SELECT sql FROM sqlite_master WHERE type = 'index' AND sql IS NOT NULL") {
		addIndex(t, s, row[0])
	}
	return s
}

func addSQLiteColumns(t *testing.T, db *sql.DB, s schema, table string, bools map[string]bool) {
	t.Helper()
	var key []string
	for _, row := range rows(t, db, fmt.Sprintf(`SELECT name, type, "notnull" OR pk, COALESCE(dflt_value, ''), pk FROM pragma_table_info('%s') ORDER BY pk`, table)) {
		kind := kinds[row[1]]
		if bools[table+"_"+row[0]] {
			kind = "bool"
		}
		addColumn(s, table, row[0], kind, row[2] == "1", row[3])
		if row[4] != "0" {
			key = append(key, row[0])
		}
	}
	s.add(table, "primary key (%s)", strings.Join(key, ", "))
}

func postgresSchema(t *testing.T, db *sql.DB) schema {
	t.Helper()
	s := schema{}
	for _, row := range rows(t, db, `SELECT table_name, column_name, data_type, is_nullable, COALESCE(column_default, '')
		FROM information_schema.columns WHERE table_schema = current_schema() AND table_name <> 'goose_db_version'`) {
		addColumn(s, row[0], row[1], kinds[row[2]], row[3] == "NO", row[4])
	}
	for _, row := range rows(t, db, `SELECT c.relname, k.conname, k.contype, regexp_replace(pg_get_constraintdef(k.oid), '^[A-Z ]+', '')
		FROM pg_constraint k JOIN pg_class c ON c.oid = k.conrelid WHERE k.connamespace = current_schema()::regnamespace AND c.relname <> 'goose_db_version'`) {
		switch table, name, rest := row[0], row[1], row[3]; row[2] {
		case "p":
			s.add(table, "primary key %s", rest)
		case "u":
			s.add(table, "unique %s %s", name, rest)
		case "f":
			s.add(table, "foreign %s %s", name, strings.Replace(rest, "REFERENCES", "to", 1))
		case "c":
			s.add(table, "check %s", name)
		default:
			t.Errorf("%s: constraint %s of an unknown kind %s", table, name, row[2])
		}
	}
	for _, row := range rows(t, db, `SELECT indexdef FROM pg_indexes WHERE schemaname = current_schema() AND tablename <> 'goose_db_version'
		AND indexname NOT IN (SELECT conname FROM pg_constraint WHERE connamespace = current_schema()::regnamespace AND contype IN ('p', 'u'))`) {
		addIndex(t, s, row[0])
	}
	return s
}

// rows reads everything that a query gives, as text.
func rows(t *testing.T, db *sql.DB, query string) [][]string {
	t.Helper()
	result, err := db.QueryContext(t.Context(), query)
	if err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	defer result.Close()
	columns, err := result.Columns()
	if err != nil {
		t.Fatal(err)
	}
	var all [][]string
	for result.Next() {
		row, into := make([]string, len(columns)), make([]any, len(columns))
		for i := range row {
			into[i] = &row[i]
		}
		if err := result.Scan(into...); err != nil {
			t.Fatal(err)
		}
		all = append(all, row)
	}
	if err := result.Err(); err != nil {
		t.Fatal(err)
	}
	return all
}

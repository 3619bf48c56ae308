package store_test

import (
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"sync"
	"testing"

	gorm "gorm.io/gorm/schema"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

// every is one of each model.
var every = []any{
	models.Answer{}, models.Balance{}, models.Blend{}, models.BlendComponent{}, models.Cap{}, models.Certificate{}, models.CertificateValue{},
	models.Checkout{}, models.Component{}, models.Cylinder{}, models.Entry{}, models.File{}, models.Hold{}, models.Instrument{}, models.InstrumentModel{},
	models.Item{}, models.Lot{}, models.Person{}, models.Place{}, models.Procedure{}, models.Receipt{}, models.Regulator{}, models.Round{},
	models.Session{}, models.Source{}, models.Supplier{}, models.Task{}, models.Test{}, models.Token{}, models.Tubing{}, models.Version{},
}

// A model has a field for each column of its table and no others, of the same kind, and each table has a model.
func TestModelsAreTheTables(t *testing.T) {
	files, err := filepath.Glob("../../models/*.go")
	if err != nil || len(files) != len(every) {
		t.Errorf("%d files in models, %d are tried, %v", len(files), len(every), err)
	}
	storetest.EachAddress(t, func(t *testing.T, address string) {
		storetest.Open(t, address)
		read := sqliteSchema
		if store.IsPostgres(address) {
			read = postgresSchema
		}
		columns := schema{}
		for line := range read(t, second(t, address)) {
			if strings.Contains(line, ": column ") || strings.Contains(line, ": primary key ") {
				columns[presets.ReplaceAllString(line, `default=""`)] = true
			}
		}
		fields := schema{}
		for _, model := range every {
			addModel(t, fields, model)
		}
		reportOnly(t, "the database", columns, fields)
		reportOnly(t, "the models", fields, columns)
	})
}

// presets are what the database fills in for rows from before a column was there; a model says all of its columns itself.
var presets = regexp.MustCompile(`default=".*"$`)

var parsed sync.Map

func addModel(t *testing.T, s schema, model any) {
	t.Helper()
	m, err := gorm.Parse(model, &parsed, gorm.NamingStrategy{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range m.Fields {
		if f.DBName == "" || !strings.Contains(f.Tag.Get("gorm"), "column:") {
			t.Errorf("%s.%s names no column", m.Name, f.Name)
		}
		kind := f.FieldType
		if kind.Kind() == reflect.Pointer {
			kind = kind.Elem()
		}
		addColumn(s, m.Table, f.DBName, columnKind(kind), f.FieldType.Kind() != reflect.Pointer, "")
	}
	s.add(m.Table, "primary key (%s)", strings.Join(m.PrimaryFieldDBNames, ", "))
}

func columnKind(t reflect.Type) string {
	switch t.Kind() {
	case reflect.Int64:
		return "int"
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "bool"
	case reflect.Slice:
		return "blob"
	}
	return t.String() + ", which no column holds"
}

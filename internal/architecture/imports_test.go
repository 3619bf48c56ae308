// Package architecture holds no code: its tests keep the rooms apart.
package architecture

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const (
	module = "spanroom"
	root   = "../.."
)

// room says what the files of one package may import, tests apart.
type room struct {
	ours   []string // packages of this module
	others []string // modules of others
	pure   bool     // reads no file, socket or clock
}

// The rooms, from the ground up. A package that is not here cannot exist.
var rooms = map[string]room{
	"internal/problem": {pure: true},
	"internal/unit":    {pure: true, ours: in("problem"), others: []string{"golang.org/x/text"}},
	"internal/gas":     {pure: true, ours: in("problem", "unit")},
	"internal/shelf":   {pure: true, ours: in("problem", "unit")},
	"internal/fit":     {pure: true, ours: in("problem", "unit")},
	"internal/gs1":     {pure: true, ours: in("problem", "unit")},
	"internal/demand":  {pure: true, ours: in("problem", "unit"), others: []string{"gonum.org/v1/gonum"}},
	"internal/reorder": {pure: true, ours: in("problem", "unit", "demand", "shelf"), others: []string{"gonum.org/v1/gonum"}},

	"models": {ours: in("unit", "gas", "shelf", "fit")},
	"internal/store": {ours: slices.Concat(in("problem", "unit"), []string{"models"}), others: []string{
		"gorm.io/gorm", "gorm.io/driver/sqlite", "gorm.io/driver/postgres", "github.com/mattn/go-sqlite3", "modernc.org/sqlite",
		"github.com/jackc/pgx/v5", "github.com/pressly/goose/v3", "github.com/gowebpki/jcs"}},
	"internal/store/storetest": {ours: in("store"), others: []string{"github.com/jackc/pgx/v5"}},

	"internal/auth":      {ours: slices.Concat(in("store", "problem", "unit"), []string{"models"}), others: []string{"golang.org/x/crypto"}},
	"internal/catalogue": {ours: slices.Concat(pureRooms, in("auth", "store"), []string{"models"})},
	"internal/stock":     {ours: slices.Concat(pureRooms, in("catalogue", "auth", "store"), []string{"models"})},
	"internal/purchase":  {ours: slices.Concat(pureRooms, in("catalogue", "auth", "store"), []string{"models"})},
	"internal/workbook":  {ours: in("purchase", "reorder", "problem", "unit"), others: []string{"github.com/xuri/excelize/v2"}},
	"internal/demo":      {ours: in("stock", "purchase", "catalogue", "auth", "store", "problem", "unit")},

	"views": {others: []string{"github.com/boombuler/barcode"}},
	"handlers": {ours: slices.Concat(pureRooms, in("auth", "catalogue", "stock", "purchase", "workbook"), []string{"views"}),
		others: []string{"github.com/gofiber/fiber/v2", "github.com/prometheus/client_golang"}},
	"cmd/spanroom": {ours: slices.Concat(pureRooms, in("store", "auth", "catalogue", "stock", "purchase", "workbook", "demo"), []string{"views", "handlers"}),
		others: []string{"github.com/alecthomas/kong", "golang.org/x/term"}},
}

var pureRooms = in("problem", "unit", "gas", "shelf", "fit", "gs1", "demand", "reorder")

// What a pure room may take from the standard library. Of time it may take what needs neither clock nor zone files.
var (
	pureStandard = []string{"bytes", "cmp", "embed", "encoding/json", "errors", "fmt", "iter", "maps", "math", "math/big", "math/bits",
		"regexp", "slices", "sort", "strconv", "strings", "sync", "time", "unicode", "unicode/utf8"}
	pureTime = []string{"Now", "Since", "Until", "Local", "LoadLocation", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker"}
)

func in(names ...string) []string {
	for i, name := range names {
		names[i] = "internal/" + name
	}
	return names
}

func TestImportsPointDown(t *testing.T) {
	seen := map[string]bool{}
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && d.Name() != ".." || d.Name() == "testdata") {
			return fs.SkipDir
		}
		if path.Ext(file) != ".go" || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		dir, err := filepath.Rel(root, filepath.Dir(file))
		if err != nil {
			return err
		}
		name := filepath.ToSlash(dir)
		seen[name] = true
		one, known := rooms[name]
		if !known {
			t.Errorf("%s: there is no such room in the table", name)
			return nil
		}
		breaches, err := check(one, file, nil)
		for _, breach := range breaches {
			t.Errorf("%s: %s", name, breach)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for name := range rooms {
		if !seen[name] {
			t.Logf("%s has no files yet", name)
		}
	}
	if !seen["internal/problem"] {
		t.Error("the rooms were not found")
	}
}

// check lists where a file goes beyond what its room may do. The source is read from the file where none is given.
func check(r room, file string, source any) ([]string, error) {
	mode := parser.ImportsOnly
	if r.pure {
		mode = parser.SkipObjectResolution
	}
	f, err := parser.ParseFile(token.NewFileSet(), file, source, mode)
	if err != nil {
		return nil, err
	}
	var breaches []string
	clock := "time"
	for _, spec := range f.Imports {
		name, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			return nil, err
		}
		if name == "time" && spec.Name != nil {
			clock = spec.Name.Name
		}
		if !r.allows(name) {
			breaches = append(breaches, fmt.Sprintf("%s imports %s", filepath.Base(file), name))
		}
	}
	if r.pure {
		breaches = append(breaches, clockReads(f, clock)...)
	}
	return breaches, nil
}

func (r room) allows(name string) bool {
	first, _, _ := strings.Cut(name, "/")
	switch {
	case name == "C":
		return false
	case first == module:
		return slices.Contains(r.ours, strings.TrimPrefix(name, module+"/"))
	case strings.Contains(first, "."):
		return slices.ContainsFunc(r.others, func(m string) bool { return name == m || strings.HasPrefix(name, m+"/") })
	}
	return !r.pure || slices.Contains(pureStandard, name)
}

// clockReads finds what depends on when or where the program runs, be it a function of time or a method of its values.
func clockReads(f *ast.File, clock string) []string {
	var breaches []string
	if clock == "." {
		breaches = append(breaches, "imports time without its name")
	}
	ast.Inspect(f, func(n ast.Node) bool {
		s, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		of, named := s.X.(*ast.Ident)
		switch {
		case named && of.Name == clock && slices.Contains(pureTime, s.Sel.Name):
			breaches = append(breaches, "uses time."+s.Sel.Name)
		case named && of.Name == "fmt" && (strings.HasPrefix(s.Sel.Name, "Print") || strings.HasPrefix(s.Sel.Name, "Scan")):
			breaches = append(breaches, "uses fmt."+s.Sel.Name)
		case s.Sel.Name == "Local":
			breaches = append(breaches, "uses the zone of the machine")
		}
		return true
	})
	return breaches
}

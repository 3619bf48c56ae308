package architecture

import (
	"slices"
	"strings"
	"testing"
)

// The guard itself is tried on files that break the rules, each in one way.
func TestCheckFindsBreaches(t *testing.T) {
	pure := room{pure: true, ours: in("problem"), others: []string{"gonum.org/v1/gonum"}}
	open := room{ours: in("store"), others: []string{"github.com/gofiber/fiber/v2"}}
	tests := []struct {
		name   string
		room   room
		source string
		want   []string
	}{
		{"nothing", pure, `import ("fmt"; "time"; "spanroom/internal/problem"; "gonum.org/v1/gonum/stat"); var _ = fmt.Sprint(time.Hour, time.UTC)`, nil},
		{"a file", pure, `import "os"`, []string{"f.go imports os"}},
		{"a socket", pure, `import _ "net/http"`, []string{"f.go imports net/http"}},
		{"C", open, `import "C"`, []string{"f.go imports C"}},
		{"the clock", pure, `import "time"; var _ = time.Now()`, []string{"uses time.Now"}},
		{"the clock as a value", pure, `import "time"; var now = time.Now`, []string{"uses time.Now"}},
		{"the clock under another name", pure, `import clock "time"; var _ = clock.Since`, []string{"uses time.Since"}},
		{"the clock without a name", pure, `import . "time"; var _ = Now`, []string{"imports time without its name"}},
		{"zone files", pure, `import "time"; var _, _ = time.LoadLocation("")`, []string{"uses time.LoadLocation"}},
		{"the machine's zone", pure, `import "time"; func f(t time.Time) time.Time { return t.Local() }`, []string{"uses the zone of the machine"}},
		{"printing", pure, `import "fmt"; func f() { fmt.Println() }`, []string{"uses fmt.Println"}},
		{"the clock where it is allowed", open, `import "time"; var _ = time.Now()`, nil},
		{"a room above", pure, `import "spanroom/internal/store"`, []string{"f.go imports spanroom/internal/store"}},
		{"a room inside an allowed one", open, `import "spanroom/internal/store/storetest"`, []string{"f.go imports spanroom/internal/store/storetest"}},
		{"another room", open, `import ("spanroom/internal/store"; "spanroom/models")`, []string{"f.go imports spanroom/models"}},
		{"a module", open, `import "gorm.io/gorm"`, []string{"f.go imports gorm.io/gorm"}},
		{"a package of an allowed module", open, `import "github.com/gofiber/fiber/v2/middleware/recover"`, nil},
		{"a module whose name begins the same", open, `import "github.com/gofiber/fiber/v22"`, []string{"f.go imports github.com/gofiber/fiber/v22"}},
	}
	for _, tt := range tests {
		got, err := check(tt.room, "f.go", "package f; "+tt.source)
		if err != nil || !slices.Equal(got, tt.want) {
			t.Errorf("%s: %q, %v, want %q", tt.name, strings.Join(got, "; "), err, tt.want)
		}
	}
}

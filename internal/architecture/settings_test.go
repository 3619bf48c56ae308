package architecture

import (
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"spanroom/internal/catalogue"
)

// aboutSettings are the files that only declare, check and show the settings.
var aboutSettings = regexp.MustCompile(`internal/catalogue/settings_(check|default|figures|form)\.go$`)

// A setting that nothing reads promises what does not happen.
func TestEverySettingIsRead(t *testing.T) {
	var code strings.Builder
	for _, dir := range []string{"internal", "handlers", "cmd"} {
		err := filepath.WalkDir(filepath.Join(root, dir), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || aboutSettings.MatchString(filepath.ToSlash(path)) {
				return err
			}
			text, err := os.ReadFile(path)
			code.Write(text)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	all := reflect.TypeFor[catalogue.Settings]()
	for i := range all.NumField() {
		name := all.Field(i).Name
		if read := regexp.MustCompile(`\.` + name + `\b`); all.Field(i).IsExported() && !read.MatchString(code.String()) {
			t.Errorf("no rule reads the setting %s", name)
		}
	}
}

package architecture

import (
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var topLevel = []string{"cmd", "internal", "models", "handlers", "views", "testdata",
	"README.md", "DEVELOPERS.md", "LICENSE", "go.mod", "go.sum"}

// The top level is closed: what is not named here, hidden or ignored has no place there.
func TestTopLevelIsClosed(t *testing.T) {
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	ignored, err := os.ReadFile(filepath.Join(root, ".gitignore"))
	if err != nil {
		t.Fatal(err)
	}
	patterns := strings.Fields(string(ignored))
	for _, e := range entries {
		name := e.Name()
		hidden := strings.HasPrefix(name, ".")
		if !hidden && !slices.Contains(topLevel, name) && !matchesAny(t, patterns, name) {
			t.Errorf("%s does not belong at the top level", name)
		}
	}
}

func matchesAny(t *testing.T, patterns []string, name string) bool {
	t.Helper()
	for _, pattern := range patterns {
		matches, err := path.Match(strings.Trim(pattern, "/"), name)
		if err != nil {
			t.Fatal(err)
		}
		if matches {
			return true
		}
	}
	return false
}

package gs1

import (
	_ "embed"
	"strings"
	"sync"
)

//go:embed tables/iso.txt
var isoText string

// isoCodes are the codes of countries and currencies, by the name of their list.
var isoCodes = sync.OnceValue(func() map[string]map[string]bool {
	lists := map[string]map[string]bool{}
	name := ""
	for line := range strings.Lines(isoText) {
		words := strings.Fields(line)
		switch {
		case len(words) == 0 || words[0] == "#":
		case len(words) == 1 && len(words[0]) > 3:
			name = words[0]
			lists[name] = map[string]bool{}
		default:
			for _, code := range words {
				lists[name][code] = true
			}
		}
	}
	return lists
})

func oneOf(list string) func(string) bool {
	return func(code string) bool { return isoCodes()[list][code] }
}

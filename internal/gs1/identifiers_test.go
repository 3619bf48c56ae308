package gs1

import (
	"maps"
	"slices"
	"strings"
	"testing"
)

// What one row says of another must exist, and no code may be the beginning of another: element strings depend on it.
func TestTheTableHoldsTogether(t *testing.T) {
	all := identifiers()
	known := slices.Sorted(maps.Keys(all))
	resolve := func(id identifier, patterns []string) {
		for _, pattern := range patterns {
			pattern = strings.TrimSuffix(pattern, "!")
			if pattern != "" && !slices.ContainsFunc(known, func(code string) bool { return matches(pattern, code) }) {
				t.Errorf("(%s) speaks of %q, which is none", id.code, pattern)
			}
		}
	}
	for i, code := range known {
		id := all[code]
		if i > 0 && strings.HasPrefix(code, known[i-1]) {
			t.Errorf("(%s) begins with (%s)", code, known[i-1])
		}
		resolve(id, id.bars)
		for _, group := range slices.Concat(id.needs, id.qualifiers) {
			resolve(id, group)
		}
		if len(id.parts) == 0 {
			t.Errorf("(%s) has no value", code)
		}
		for n, p := range id.parts {
			if p.set == nil || p.least < 1 || p.most < p.least || slices.ContainsFunc(p.checks, func(c check) bool { return c == nil }) {
				t.Errorf("(%s): part %d is %+v", code, n, p)
			}
			if p.least < p.most && n < len(id.parts)-1 {
				t.Errorf("(%s): part %d has no end", code, n)
			}
		}
		if id.predefined() && (id.variable() || len(id.parts) > 1) {
			t.Errorf("(%s) is to end by its length and has none", code)
		}
	}
	if len(known) < 500 {
		t.Errorf("only %d identifiers are known", len(known))
	}
}

func TestRowsOfTheTable(t *testing.T) {
	for word, want := range map[string]string{
		"01": "01", "15-16": "15 16", "91-99": "91 92 93 94 95 96 97 98 99", "337x": "3370 3371 3372 3373 3374 3375",
		"356-357x": "3560 3561 3562 3563 3564 3565 3570 3571 3572 3573 3574 3575",
	} {
		if got := strings.Join(codes(word), " "); got != want {
			t.Errorf("%s: got %s, want %s", word, got, want)
		}
	}
	weight := identifiers()["3102"]
	if got := strings.Join(weight.bars, " "); got != "310n" {
		t.Errorf("another weight in kilograms is barred as %s", got)
	}
}

func TestWhichLengthsArePredefined(t *testing.T) {
	for code, want := range map[string]bool{
		"00": true, "01": true, "03": true, "11": true, "17": true, "20": true, "3102": true, "3695": true, "414": true, "417": true,
		"10": false, "21": false, "22": false, "235": false, "37": false, "3922": false, "402": false, "422": false, "8008": false, "99": false,
	} {
		if got := identifiers()[code].predefined(); got != want {
			t.Errorf("(%s): got %v", code, got)
		}
	}
}

func TestListsOfISO(t *testing.T) {
	for list, want := range map[string]struct {
		count    int
		has, not string
	}{
		"countries": {249, "528", "999"}, "letters": {249, "NL", "XX"}, "currencies": {182, "978", "000"},
	} {
		got := isoCodes()[list]
		if len(got) != want.count || !got[want.has] || got[want.not] {
			t.Errorf("%s: %d of them, %s %v, %s %v", list, len(got), want.has, got[want.has], want.not, got[want.not])
		}
	}
}

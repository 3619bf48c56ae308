package gs1

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

//go:embed tables/identifiers.txt
var identifiersText string

// identifier is what the standard says of one application identifier.
type identifier struct {
	code       string
	parts      []part
	needs      [][]string // one of these groups must be there in full; none are needed where there are none
	bars       []string   // patterns of what must not be there
	key        bool       // begins the path of a digital link
	qualifiers [][]string // what may follow it there, in order; alternatives
	unlinked   bool       // cannot stand in the query of a digital link
}

// identifiers are all that are assigned, by code.
var identifiers = sync.OnceValue(func() map[string]identifier {
	all := map[string]identifier{}
	for line := range strings.Lines(identifiersText) {
		line, _, _ = strings.Cut(line, "#")
		words := strings.Fields(line)
		if len(words) == 0 {
			continue
		}
		for _, code := range codes(words[0]) {
			all[code] = parseIdentifier(code, words[1:])
		}
	}
	return all
})

func parseIdentifier(code string, words []string) identifier {
	id := identifier{code: code}
	for _, word := range words {
		rule, list, _ := strings.Cut(word, "=")
		switch rule {
		case "needs":
			for group := range strings.SplitSeq(list, ",") {
				id.needs = append(id.needs, strings.Split(group, "+"))
			}
		case "bars":
			id.bars = strings.Split(strings.ReplaceAll(list, "self", code[:len(code)-1]+"n"), ",")
		case "key":
			id.key = true
			for alternative := range strings.SplitSeq(list, "|") {
				id.qualifiers = append(id.qualifiers, strings.Split(alternative, ","))
			}
		case "unlinked":
			id.unlinked = true
		default:
			id.parts = append(id.parts, parsePart(word))
		}
	}
	return id
}

// codes gives the identifiers of a row: one, a range, or a range of stems that take a last digit of 0 to 5.
func codes(word string) []string {
	word, measured := strings.CutSuffix(word, "x")
	first, last, ranged := strings.Cut(word, "-")
	if !ranged {
		last = first
	}
	var all []string
	for n := number(first); n <= number(last); n++ {
		code := fmt.Sprintf("%0*d", len(first), n)
		if !measured {
			all = append(all, code)
			continue
		}
		for digit := range 6 {
			all = append(all, code+strconv.Itoa(digit))
		}
	}
	return all
}

// identifierAt finds the identifier with which a text begins. No code is the beginning of another.
func identifierAt(text string) (identifier, bool) {
	for length := 2; length <= min(4, len(text)); length++ {
		if id, known := identifiers()[text[:length]]; known {
			return id, true
		}
	}
	return identifier{}, false
}

// predefined tells whether the length of the value is given by the first two digits of the identifier alone, so that no
// separator is needed after it.
func (id identifier) predefined() bool {
	switch n := number(id.code[:2]); {
	case n <= 4, 11 <= n && n <= 20, 31 <= n && n <= 36, n == 41:
		return true
	}
	return false
}

// variable tells whether a value may run on to where the text ends.
func (id identifier) variable() bool {
	return id.parts[len(id.parts)-1].least < id.parts[len(id.parts)-1].most
}

// matches compares a code with a pattern, in which n stands for any digit.
func matches(pattern, code string) bool {
	if len(pattern) != len(code) {
		return false
	}
	for i := range len(pattern) {
		if pattern[i] != 'n' && pattern[i] != code[i] {
			return false
		}
	}
	return true
}

// number reads a few digits; what are none gives 0.
func number(digits string) int {
	n, _ := strconv.Atoi(digits)
	return n
}

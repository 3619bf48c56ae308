package unit

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Fold gives the form in which names that people copy from labels are compared: trimmed, in capitals, and with characters
// that only look different put into one. Inner spaces and hyphens stay.
func Fold(text string) string {
	return strings.TrimSpace(norm.NFKC.String(strings.ToUpper(norm.NFKC.String(text))))
}

// Skeleton gives what is left of a folded name when hyphens and spaces are dropped, and O and I read as 0 and 1: two names
// with one skeleton are easily taken for each other.
func Skeleton(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Pd, r), unicode.IsSpace(r):
			return -1
		case r == 'O':
			return '0'
		case r == 'I':
			return '1'
		}
		return r
	}, Fold(text))
}

package unit

import (
	"fmt"
	"strings"

	"spanroom/internal/problem"
)

// Tag is our own name of a cylinder: four characters, a hyphen, three characters and an ISO 7064 MOD 37,36 check character.
// It says nothing about what is in the cylinder and is never used twice.
type Tag string

const tagAlphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"

// Characters that are easily misread on a wet label are left out of the body.
const tagBody = "23456789ACDEFGHJKLMNPQRTUVWXYZ"

// TagBodyLength is how many random characters a tag has before its check character.
const TagBodyLength = 7

// MakeTag makes a tag from random bytes, one a character. A character that would blind the check to a swap gives way to the next one.
func MakeTag(random [TagBodyLength]byte) Tag {
	body := ""
	for _, r := range random {
		at := int(r) % len(tagBody)
		if blindToSwap(body + tagBody[at:at+1]) {
			at = (at + 1) % len(tagBody)
		}
		body += tagBody[at : at+1]
	}
	return Tag(body[:4] + "-" + body[4:] + string(check3736(body)))
}

// blindToSwap tells whether the check character stays the same when the last two characters trade places: MOD 37,36 catches
// every wrong character, but misses one swap of neighbours in some six hundred.
func blindToSwap(body string) bool {
	n := len(body)
	if n < 2 || body[n-1] == body[n-2] {
		return false
	}
	return check3736(body) == check3736(body[:n-2]+body[n-1:]+body[n-2:n-1])
}

// ParseTag reads a tag as scanned or typed: case, spaces and hyphens do not matter, a wrong check character is refused.
func ParseTag(text string) (Tag, error) {
	s := strings.ToUpper(strings.NewReplacer(" ", "", "-", "").Replace(strings.TrimSpace(text)))
	if len(s) != TagBodyLength+1 || strings.Trim(s, tagAlphabet) != "" {
		return "", problem.New(problem.Invalid, fmt.Sprintf("%q is not a tag", shorten(text)), "scan it, or type all eight characters")
	}
	if body := s[:TagBodyLength]; check3736(body) != s[TagBodyLength] {
		return "", problem.New(problem.Invalid, fmt.Sprintf("%q is mistyped: its check character does not match", shorten(text)), "look at the label again")
	}
	return Tag(s[:4] + "-" + s[4:]), nil
}

// check3736 computes the check character of ISO 7064 MOD 37,36.
func check3736(body string) byte {
	p := 36
	for i := 0; i < len(body); i++ {
		s := (p + strings.IndexByte(tagAlphabet, body[i])) % 36
		if s == 0 {
			s = 36
		}
		p = s * 2 % 37
	}
	return tagAlphabet[(37-p)%36]
}

package gs1

import (
	"strings"
)

// part is a stretch of a value with its characters, its length and what its content must be.
type part struct {
	set         charset
	least, most int
	optional    bool
	checks      []check
}

// charset tells whether a character belongs to one of the standard's sets.
type charset func(c byte) bool

const (
	digits   = "0123456789"
	capitals = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	smalls   = "abcdefghijklmnopqrstuvwxyz"
	set82    = `!"%&'()*+,-./` + digits + ":;<=>?" + capitals + "_" + smalls
	set64    = capitals + smalls + digits + "-_"
)

var charsets = map[byte]charset{
	'N': among(digits),
	'X': among(set82),
	'Y': among("#-/" + digits + capitals),
	'Z': among(set64 + "="),
}

func among(characters string) charset {
	return func(c byte) bool { return strings.IndexByte(characters, c) >= 0 }
}

func (set charset) has(text string) bool {
	for i := range len(text) {
		if !set(text[i]) {
			return false
		}
	}
	return true
}

// parsePart reads a part as the table writes it: N6:date, X..20, ?N2:sixty.
func parsePart(word string) part {
	word, optional := strings.CutPrefix(word, "?")
	shape, names, _ := strings.Cut(word, ":")
	p := part{set: charsets[shape[0]], optional: optional, least: 1}
	if most, variable := strings.CutPrefix(shape[1:], ".."); variable {
		p.most = number(most)
	} else {
		p.most = number(shape[1:])
		p.least = p.most
	}
	for _, name := range strings.FieldsFunc(names, func(r rune) bool { return r == ',' }) {
		p.checks = append(p.checks, checks[name])
	}
	return p
}

// split cuts a value into its parts and tells whether their lengths fit. What may be left out is left out at the end.
func (id identifier) split(value string) ([]string, bool) {
	var cut []string
	for _, p := range id.parts {
		if value == "" && p.optional {
			break
		}
		if len(value) < p.least {
			return nil, false
		}
		length := min(len(value), p.most)
		cut = append(cut, value[:length])
		value = value[length:]
	}
	return cut, value == ""
}

// length is how long a value of predefined length is.
func (id identifier) length() int {
	n := 0
	for _, p := range id.parts {
		n += p.most
	}
	return n
}

// check finds the first problem of a value, and the part of it that has it.
func (id identifier) check(value string) (Problem, string) {
	cut, fits := id.split(value)
	if !fits {
		return Length, value
	}
	for i, text := range cut {
		if !id.parts[i].set.has(text) {
			return Charset, text
		}
		for _, c := range id.parts[i].checks {
			if problem := c(text); problem != "" {
				return problem, text
			}
		}
	}
	return "", ""
}

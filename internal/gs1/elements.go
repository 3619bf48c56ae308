package gs1

import "strings"

// separator is what a scanner types where the symbol has the function character FNC1.
const separator = "\x1d"

// elementString reads elements that follow each other. A value of predefined length ends by its length, any other at the
// next separator; a separator too many after a value does no harm.
func elementString(text, separator string) message {
	m := message{separated: strings.Contains(text, separator)}
	if text == "" {
		return m.failed(Empty, Element{}, "")
	}
	for text != "" {
		id, known := identifierAt(text)
		if !known {
			return m.failed(UnknownAI, Element{AI: text[:min(4, len(text))]}, "")
		}
		text = text[len(id.code):]
		end := strings.Index(text, separator)
		if end < 0 {
			end = len(text)
		}
		if id.predefined() {
			end = min(end, id.length())
		}
		e := Element{id.code, text[:end]}
		text = strings.TrimPrefix(text[end:], separator)
		m.elements = append(m.elements, e)
		if e.Value == "" {
			return m.failed(Empty, e, "")
		}
		if p, part := id.check(e.Value); p != "" {
			return m.failed(p, e, part)
		}
	}
	return m.associated()
}

// raw reads an element string in which ^ stands for FNC1, with which it begins.
func raw(text string) message {
	text, begins := strings.CutPrefix(text, "^")
	if !begins {
		return message{}.failed(Format, Element{}, "")
	}
	return elementString(text, "^")
}

// bracketed reads elements as people write them: (01)09521234543213(10)LOT-7A, where \( is a bracket of the value.
func bracketed(text string) message {
	m := message{separated: true}
	if text == "" {
		return m.failed(Empty, Element{}, "")
	}
	for text != "" {
		inside, opened := strings.CutPrefix(text, "(")
		code, rest, closed := strings.Cut(inside, ")")
		if !opened || !closed {
			return m.failed(Format, Element{}, "")
		}
		if _, known := identifiers()[code]; !known {
			return m.failed(UnknownAI, Element{AI: code}, "")
		}
		if rest == "" {
			return m.failed(Format, Element{AI: code}, "")
		}
		end := unescapedBracket(rest)
		m.elements = append(m.elements, Element{code, strings.ReplaceAll(rest[:end], `\(`, "(")})
		text = rest[end:]
	}
	return m.checked()
}

// unescapedBracket finds where the next identifier begins.
func unescapedBracket(text string) int {
	for i := range len(text) {
		if text[i] == '(' && (i == 0 || text[i-1] != '\\') {
			return i
		}
	}
	return len(text)
}

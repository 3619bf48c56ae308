package gs1

import (
	"regexp"
	"slices"
	"strings"
)

var (
	scheme    = regexp.MustCompile(`^(?i:https?)://`)
	authority = regexp.MustCompile(`^[A-Za-z0-9]([A-Za-z0-9.-]*[A-Za-z0-9])?(:[0-9]{1,5})?$`)
)

// ofAddress are the characters of RFC 3986.
var ofAddress = among(capitals + smalls + digits + "-._~:/?#[]@!$&'()*+,;=%")

func isAddress(text string) bool { return scheme.MatchString(text) }

// digitalLink reads an address by the standard's URI syntax: a key and its qualifiers in the path, attributes in the query.
// The path may begin with the owner's own; of the query, what is no number is the owner's own.
func digitalLink(text string) message {
	m := message{separated: true}
	if !isAddress(text) || !ofAddress.has(text) {
		return m.failed(URI, Element{}, text)
	}
	text, _, _ = strings.Cut(text, "#")
	address, query, _ := strings.Cut(text[len(scheme.FindString(text)):], "?")
	host, path, _ := strings.Cut(address, "/")
	if !authority.MatchString(host) {
		return m.failed(URI, Element{}, host)
	}
	m = m.path(path)
	if !m.conforms() {
		return m
	}
	key := identifiers()[m.elements[0].AI]
	if m = m.query(query, key); !m.conforms() {
		return m
	}
	return m.checked().once()
}

// once refuses an identifier that comes twice: in an address even with the same value.
func (m message) once() message {
	for i, e := range m.elements {
		first := slices.IndexFunc(m.elements, func(other Element) bool { return other.AI == e.AI })
		if m.conforms() && first < i {
			return m.failed(Repeat, e, e.Value)
		}
	}
	return m
}

// path reads pairs of identifier and value from the last key on.
func (m message) path(path string) message {
	steps := strings.Split(path, "/")
	from := len(steps) - 2
	for from >= 0 && !identifiers()[steps[from]].key {
		from -= 2
	}
	if from < 0 {
		return m.failed(URI, Element{}, path)
	}
	key := steps[from]
	for ; from < len(steps); from += 2 {
		code := steps[from]
		value, whole := unescape(steps[from+1])
		e := Element{code, value}
		switch {
		case !whole:
			return m.failed(URI, e, steps[from+1])
		case value == "":
			return m.failed(Empty, e, "")
		case code == "01" && among(digits).has(value) && slices.Contains([]int{8, 12, 13}, len(value)):
			e.Value = padded(value)
		}
		m.elements = append(m.elements, e)
	}
	if !identifiers()[key].qualifiedBy(m.elements[1:]) {
		return m.failed(URI, m.elements[0], path)
	}
	return m
}

// qualifiedBy tells whether the elements are qualifiers of the key, in the order of one of its alternatives.
func (id identifier) qualifiedBy(elements []Element) bool {
	return slices.ContainsFunc(id.qualifiers, func(order []string) bool {
		next := 0
		for _, e := range elements {
			at := slices.Index(order[next:], e.AI)
			if at < 0 {
				return false
			}
			next += at + 1
		}
		return true
	})
}

// query reads attributes. What qualifies the key belongs into the path.
func (m message) query(query string, key identifier) message {
	for pair := range strings.FieldsFuncSeq(query, func(r rune) bool { return r == '&' || r == ';' }) {
		code, value, assigned := strings.Cut(pair, "=")
		if !assigned || code == "" || !among(digits).has(code) {
			continue
		}
		value, whole := unescape(strings.ReplaceAll(value, "+", " "))
		e := Element{code, value}
		id, known := identifiers()[code]
		switch {
		case !known:
			return m.failed(UnknownAI, e, "")
		case !whole, id.unlinked, key.qualifiedBy([]Element{e}):
			return m.failed(URI, e, pair)
		case value == "":
			return m.failed(Empty, e, "")
		}
		m.elements = append(m.elements, e)
	}
	return m
}

// unescape resolves percent signs and tells whether two hexadecimal digits follow each.
func unescape(text string) (string, bool) {
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		if text[i] != '%' {
			b.WriteByte(text[i])
			continue
		}
		if i+2 >= len(text) || !isHex(text[i+1]) || !isHex(text[i+2]) {
			return "", false
		}
		b.WriteByte(hex(text[i+1])<<4 | hex(text[i+2]))
		i += 2
	}
	return b.String(), true
}

var isHex = among(digits + "ABCDEFabcdef")

func hex(c byte) byte {
	if c <= '9' {
		return c - '0'
	}
	return c&0x0f + 9
}

package gs1

import (
	"slices"
	"strings"
)

// associated looks whether the elements go together; each of them is right by itself.
func (m message) associated() message {
	kinds := m.kinds()
	for _, rule := range []struct {
		problem Problem
		broken  func(Element) (string, bool)
	}{{Exclusive, kinds.barred}, {Requisite, kinds.lonely}, {Repeat, m.changed}} {
		for _, e := range kinds.elements {
			if detail, broken := rule.broken(e); broken {
				return m.failed(rule.problem, e, detail)
			}
		}
	}
	return m
}

// kinds are the elements without those whose identifier came before.
func (m message) kinds() message {
	seen := map[string]bool{}
	var kinds message
	for _, e := range m.elements {
		if !seen[e.AI] {
			kinds.elements = append(kinds.elements, e)
		}
		seen[e.AI] = true
	}
	return kinds
}

// barred finds another element that must not stand beside e.
func (m message) barred(e Element) (string, bool) {
	for _, pattern := range identifiers()[e.AI].bars {
		for _, other := range m.elements {
			if other.AI != e.AI && matches(pattern, other.AI) {
				return other.AI, true
			}
		}
	}
	return "", false
}

// lonely tells what e belongs to where nothing of that is there.
func (m message) lonely(e Element) (string, bool) {
	needs := identifiers()[e.AI].needs
	if len(needs) == 0 || slices.ContainsFunc(needs, m.hasAll) {
		return "", false
	}
	return strings.Join(needs[0], " with "), true
}

func (m message) hasAll(group []string) bool {
	for _, pattern := range group {
		if !slices.ContainsFunc(m.elements, func(e Element) bool { return satisfies(e, pattern) }) {
			return false
		}
	}
	return true
}

// satisfies compares an element with what another one needs: a pattern, and with ! the serial part that its key may have.
func satisfies(e Element, pattern string) bool {
	pattern, serialised := strings.CutSuffix(pattern, "!")
	if !matches(pattern, e.AI) {
		return false
	}
	id := identifiers()[e.AI]
	cut, _ := id.split(e.Value)
	return !serialised || len(cut) == len(id.parts)
}

// changed finds the same identifier with another value. The same element twice is one.
func (m message) changed(e Element) (string, bool) {
	for _, other := range m.elements {
		if other.AI == e.AI && other.Value != e.Value {
			return other.Value, true
		}
	}
	return "", false
}

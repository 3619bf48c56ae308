package gs1

import "slices"

// shortestHidden is how long a lot or serial must be to be looked for in another value: by chance every other number holds
// a shorter one.
const shortestHidden = 4

// runOn tells how the last value may end earlier, where no separator shows that it does not: some scanners drop them. It
// gives all elements of the other reading, or nothing. Of several readings it is the one that splits first.
func (m message) runOn() []Element { return m.splitAfter(1) }

// splitAfter leaves the last value as many characters at least.
func (m message) splitAfter(shortest int) []Element {
	if m.separated || len(m.elements) == 0 {
		return nil
	}
	before, last := m.elements[:len(m.elements)-1], m.elements[len(m.elements)-1]
	id := identifiers()[last.AI]
	if !id.variable() {
		return nil
	}
	for i := shortest; i < len(last.Value) && i <= id.length(); i++ {
		head, tail := last.Value[:i], last.Value[i:]
		if problem, _ := id.check(head); problem != "" {
			continue
		}
		if hidden := hiddenIn(tail); hidden != nil {
			split := message{elements: slices.Concat(before, []Element{{last.AI, head}}, hidden)}
			if split.asGoodAs(m) {
				return split.elements
			}
		}
	}
	return nil
}

// asGoodAs tells whether the elements go together, or lack no more than those of another reading lack too.
func (m message) asGoodAs(other message) bool {
	p := m.associated().fault.Problem
	return p == "" || p == Requisite && other.fault.Problem == Requisite
}

// hiddenIn reads a tail as elements that hardly stand there by chance, or gives nothing.
func hiddenIn(tail string) []Element {
	m := elementString(tail, separator)
	if !m.readable() || !deliberate(m.elements) {
		return nil
	}
	if further := m.splitAfter(shortestHidden); further != nil {
		return further
	}
	return m.elements
}

// deliberate tells whether characters that look like elements are so by more than chance: each has a date or a check digit
// that is right, or is a lot or a serial of some length.
func deliberate(elements []Element) bool {
	return !slices.ContainsFunc(elements, func(e Element) bool {
		if e.AI == "10" || e.AI == "21" {
			return len(e.Value) < shortestHidden
		}
		id := identifiers()[e.AI]
		return !id.predefined() || len(id.parts[0].checks) == 0
	})
}

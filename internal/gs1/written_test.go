package gs1

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// written is an element string of elements, with FNC1 where the standard wants it.
func written(elements []Element, fnc1 string) string {
	var b strings.Builder
	for i, e := range elements {
		b.WriteString(e.AI + e.Value)
		if !identifiers()[e.AI].predefined() && i < len(elements)-1 {
			b.WriteString(fnc1)
		}
	}
	return b.String()
}

// ways are the ways in which a text of elements can come in.
func ways(elements []Element) map[string]message {
	return map[string]message{
		"bracketed": bracketed(Bracketed(elements)),
		"raw":       raw("^" + written(elements, "^")),
		"scan":      scan("]d2" + written(elements, separator)),
	}
}

// anyElement draws an identifier and a value with the right check digit or date, or plain characters.
func anyElement(t *rapid.T) Element {
	code := rapid.SampledFrom(slices.Sorted(maps.Keys(identifiers()))).Draw(t, "identifier")
	var value strings.Builder
	for _, p := range identifiers()[code].parts {
		if p.optional && rapid.Bool().Draw(t, "left out") {
			break
		}
		n := rapid.IntRange(p.least, p.most).Draw(t, "length")
		text := rapid.StringOfN(rapid.RuneFrom([]rune(alphabet(p))), n, n, -1).Draw(t, "text")
		value.WriteString(right(text, p))
	}
	return Element{code, value.String()}
}

func alphabet(p part) string {
	all := ""
	for c := byte('!'); c <= 'z'; c++ {
		if p.set(c) {
			all += string(c)
		}
	}
	return all
}

// right changes the last characters of a text until the checks of its part pass; rarely there is no such change.
func right(text string, p part) string {
	for _, ending := range []string{"", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "0101", "1200", "20240101", "528", "978", "-"} {
		try := text[:max(0, len(text)-len(ending))] + ending
		if len(try) == len(text) && !slices.ContainsFunc(p.checks, func(c check) bool { return c(try) != "" }) {
			return try
		}
	}
	return text
}

func rightByItself(e Element) bool {
	problem, _ := identifiers()[e.AI].check(e.Value)
	return problem == ""
}

func TestElementsReadAsTheyWereWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		elements := rapid.SliceOfN(rapid.Custom(anyElement).Filter(rightByItself), 1, 6).Draw(t, "elements")
		for way, m := range ways(elements) {
			if !m.readable() || !slices.Equal(m.elements, elements) {
				t.Fatalf("%s: %s reads as %s, %q", way, Bracketed(elements), Bracketed(m.elements), m.fault.Problem)
			}
		}
	})
}

// One wrong digit in a key is always seen.
func TestNoSingleWrongDigitPasses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		key := []byte(rapid.StringMatching(`[0-9]{8,18}`).Draw(t, "digits"))
		for last := byte('0'); !ValidCheckDigit(string(key)); last++ {
			key[len(key)-1] = last
		}
		at := rapid.IntRange(0, len(key)-1).Draw(t, "place")
		key[at] = '0' + (key[at]-'0'+byte(rapid.IntRange(1, 9).Draw(t, "change")))%10
		if ValidCheckDigit(string(key)) {
			t.Fatalf("%s passes", key)
		}
	})
}

func FuzzScan(f *testing.F) {
	for _, r := range readRows(f, "gs1_parse") {
		var q ScanQuestion
		if err := json.Unmarshal(r.In, &q); err != nil {
			f.Fatal(err)
		}
		f.Add(q.Syntax, q.Text)
	}
	f.Add("scan", "]E09521234543213|]e017280200")
	f.Add("raw", "^010952123454321310LOT17271231")
	f.Fuzz(func(t *testing.T, syntax, text string) {
		if s, ok := Read(text, 2026); ok && s.Problem == "" && len(s.Elements) == 0 {
			t.Fatalf("%q reads as nothing", text)
		}
		a, err := CalcScan(ScanQuestion{syntax, text})
		if err != nil || !a.Conforms {
			return
		}
		for _, elements := range [][]Element{a.Elements, a.Split} {
			if len(elements) == 0 {
				continue
			}
			for way, m := range ways(elements) {
				if !m.conforms() || !slices.Equal(m.elements, elements) {
					t.Fatalf("%s: %q reads as %s, %q", way, text, Bracketed(m.elements), m.fault.Problem)
				}
			}
		}
	})
}

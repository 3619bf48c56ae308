// Package fit decides what may be joined: outlets and pressure ratings, and which gases stick to walls or react with each other.
// A piece that fits is not yet one that suits.
package fit

import (
	"cmp"
	_ "embed"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"spanroom/internal/problem"
)

// Outlet is a valve outlet by its standard and number as the list has it, such as "CGA C-10" or "DIN 477 14".
type Outlet string

//go:embed tables/fit.json
var fitTable []byte

// outletName is an outlet in parts; a person may have left the standard out.
type outletName struct {
	standard string // CGA, DIN or BS
	letter   string // the C of C-10
	number   int
}

var (
	outlets = readOutlets()

	marks = regexp.MustCompile(`[^A-Z0-9]+`)
	// A part of the standard is known by the word for "number" behind it; figures that stand apart are never run together.
	parts = regexp.MustCompile(`^(CGA|DIN ?477|DIN|BS ?341|BS)?(?: [0-9] (?:NO|NR|NUMBER))? ?(?:NO|NR|NUMBER)? ?([A-Z]?) ?([0-9]{1,4})$`)
	// One figure after the hyphen alone may be a part as well as an outlet.
	partOrOutlet = regexp.MustCompile(`^(DIN *477|BS *341) *- *([0-9])$`)
)

func readOutlets() []Outlet {
	var table struct {
		Outlets []struct{ Outlet Outlet }
	}
	if err := json.Unmarshal(fitTable, &table); err != nil {
		panic("fit: the embedded table cannot be read: " + err.Error())
	}
	list := make([]Outlet, len(table.Outlets))
	for i, row := range table.Outlets {
		list[i] = row.Outlet
	}
	return list
}

// Outlets lists every outlet that can be chosen.
func Outlets() []Outlet { return slices.Clone(outlets) }

const (
	longestOutlet = 40
	howToWrite    = "write the standard and the number, such as CGA C-10 or DIN 477 14"
)

// ParseOutlet reads an outlet as typed: case, spaces, hyphens and "No." do not matter, and a number that is CGA's alone needs no
// standard. A number that may be another standard's is asked for; what is not on the list is refused.
func ParseOutlet(text string) (Outlet, error) {
	text = strings.TrimSpace(text)
	upper := strings.ToUpper(text)
	if len(upper) > longestOutlet {
		return "", problem.New(problem.Invalid, "the outlet is too long a text", howToWrite)
	}
	if m := partOrOutlet.FindStringSubmatch(upper); m != nil {
		return "", problem.New(problem.Invalid, fmt.Sprintf("%q may be a part of the standard or an outlet", text),
			fmt.Sprintf("write %s %s, with a space, if it is outlet number %s", m[1], m[2], m[2]))
	}
	typed, ok := nameOf(upper)
	if !ok {
		return "", problem.New(problem.Invalid, fmt.Sprintf("%q is not an outlet", text), howToWrite)
	}
	return typed.pick(text)
}

// nameOf takes an upper-case text apart.
func nameOf(upper string) (outletName, bool) {
	m := parts.FindStringSubmatch(strings.TrimSpace(marks.ReplaceAllString(upper, " ")))
	if m == nil {
		return outletName{}, false
	}
	standard, letter := strings.TrimRight(m[1], " 0123456789"), m[2]
	if letter != "" && standard == "" {
		standard = "CGA" // no other puts a letter before the number
	}
	number, err := strconv.Atoi(m[3])
	return outletName{standard, letter, number}, err == nil
}

func (n outletName) pick(text string) (Outlet, error) {
	var choices []Outlet
	for _, o := range outlets {
		listed, _ := nameOf(string(o))
		if listed == n {
			return o, nil
		}
		if n.standard == "" && listed.number == n.number {
			choices = append(choices, o)
		}
	}
	switch {
	case len(choices) == 0:
		return "", problem.New(problem.Invalid, fmt.Sprintf("%q is not on the list of outlets", text),
			"the nearest on the list are "+oneOf(n.neighbours())+"; if it is neither, ask the gas supplier")
	case len(choices) == 1 && choices[0] == Outlet(fmt.Sprintf("CGA %d", n.number)):
		return choices[0], nil
	default:
		return "", problem.New(problem.Invalid, fmt.Sprintf("%q does not say of which standard", text), "choose "+oneOf(choices))
	}
}

// neighbours gives the two outlets of the standard, or of CGA where none is named, whose numbers are nearest.
func (n outletName) neighbours() []Outlet {
	standard := cmp.Or(n.standard, "CGA")
	distance := func(o Outlet) int {
		listed, _ := nameOf(string(o))
		return max(listed.number-n.number, n.number-listed.number)
	}
	near := slices.DeleteFunc(Outlets(), func(o Outlet) bool { return !strings.HasPrefix(string(o), standard) })
	slices.SortStableFunc(near, func(a, b Outlet) int { return distance(a) - distance(b) })
	return near[:2]
}

func oneOf[S ~string](choices []S) string {
	words := make([]string, len(choices))
	for i, o := range choices {
		words[i] = string(o)
	}
	if last := len(words) - 1; last > 0 {
		return strings.Join(words[:last], ", ") + " or " + words[last]
	}
	return words[0]
}

package fit

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"
	"unicode"
)

// wetted is what a component may touch.
type wetted struct {
	Component  string
	Bodies     []string
	TubingOK   []string `json:"tubing_ok"`
	TubingAsk  []string `json:"tubing_ask"`
	TubingStop []string `json:"tubing_stop"`
	MaxLengthM float64  `json:"max_length_m"`
	Dedicated  bool
}

var (
	wettedRows = readWetted()
	bodies     = words(func(w *wetted) []string { return w.Bodies })
	tubings    = words(func(w *wetted) []string { return slices.Concat(w.TubingOK, w.TubingAsk, w.TubingStop) })

	materialWords = readMaterialWords()
)

// Other names of the table's materials.
var otherNames = map[string]string{"stainless steel": "stainless", "nickel-plated brass": "nickel-plated", "silicone rubber": "silicone", "PU": "polyurethane"}

func readWetted() map[string]*wetted {
	var table struct{ Materials []*wetted }
	if err := json.Unmarshal(fitTable, &table); err != nil {
		panic("fit: the embedded table cannot be read: " + err.Error())
	}
	rows := make(map[string]*wetted, len(table.Materials))
	for _, row := range table.Materials {
		rows[row.Component] = row
	}
	return rows
}

// words lists every material that the table names in a column.
func words(column func(*wetted) []string) []string {
	var all []string
	for _, row := range wettedRows {
		all = append(all, column(row)...)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// readMaterialWords gives the table's word for each of its materials as bare writes it.
func readMaterialWords() map[string]string {
	known := map[string]string{}
	for other, word := range otherNames {
		known[bare(other)] = word
	}
	for _, word := range slices.Concat(bodies, tubings) {
		known[bare(word)] = word
	}
	return known
}

// bare keeps letters and figures alone, in lower case.
func bare(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, text)
}

// material is the table's word for what somebody typed, or the text itself.
func material(typed string) string {
	return cmp.Or(materialWords[bare(typed)], strings.TrimSpace(typed))
}

// contact is what a gas touches its fittings with: its formulas, the table's rows for them, and the formulas that have none.
type contact struct {
	formulas []string
	rows     []*wetted
	unlisted []string
}

func (g Gas) contact() contact {
	c := contact{formulas: make([]string, 0, len(g.Parts)+1)}
	for _, part := range g.Parts {
		c.formulas = append(c.formulas, cmp.Or(part.Formula, part.Component))
	}
	if g.Balance != "" {
		c.formulas = append(c.formulas, g.Balance)
	}
	c.rows = make([]*wetted, 0, len(c.formulas))
	for _, formula := range c.formulas {
		if row, known := wettedRows[formula]; known {
			c.rows = append(c.rows, row)
		} else if !slices.Contains(c.unlisted, formula) {
			c.unlisted = append(c.unlisted, formula)
		}
	}
	return c
}

// permitted are the materials of a list that every component lets through, in words.
func (c contact) permitted(listed []string, column func(*wetted) []string) string {
	return oneOf(slices.DeleteFunc(slices.Clone(listed), func(word string) bool {
		return slices.ContainsFunc(c.rows, func(w *wetted) bool { return !slices.Contains(column(w), word) })
	}))
}

// where names the components of which a test holds.
func (c contact) where(test func(*wetted) bool) []string {
	var names []string
	for _, row := range c.rows {
		if test(row) && !slices.Contains(names, row.Component) {
			names = append(names, row.Component)
		}
	}
	return names
}

package catalogue

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Difference is one field that two states of a thing do not have alike, by its label on the form. A side that is empty had
// nothing there.
type Difference struct {
	Label         string
	Kind          FieldKind
	Before, After string
}

// Differences lists in the order of the form what differs between two states of a thing. Lines of a repeated part are the same
// line where they begin alike, wherever they stand.
func (n Noun) Differences(before, after Order) ([]Difference, error) {
	was, err := treeOf(before)
	if err != nil {
		return nil, err
	}
	is, err := treeOf(after)
	if err != nil {
		return nil, err
	}
	var all []Difference
	for _, f := range n.Form {
		if f.Kind == Rows {
			all = append(all, f.linesDiffer(within(was, f.Name), within(is, f.Name))...)
		} else {
			all = append(all, f.differs(f.Label, was, is)...)
		}
	}
	return all, nil
}

func treeOf(order Order) (tree any, err error) {
	raw, err := json.Marshal(order)
	if err != nil {
		return nil, err
	}
	err = json.Unmarshal(raw, &tree)
	return tree, err
}

// within follows a dotted name into the JSON of a thing; "" is the thing itself.
func within(tree any, name string) any {
	if name == "" {
		return tree
	}
	for part := range strings.SplitSeq(name, ".") {
		at, _ := tree.(map[string]any) // nothing, where it is none
		tree = at[part]
	}
	return tree
}

// asTyped is a value as its field on the form holds it.
func asTyped(node any) string {
	switch n := node.(type) {
	case string:
		return n
	case float64:
		return strconv.FormatFloat(n, 'f', -1, 64)
	case bool:
		return strconv.FormatBool(n)
	case []any:
		words := make([]string, len(n))
		for i, word := range n {
			words[i] = asTyped(word)
		}
		return strings.Join(words, ", ")
	}
	return ""
}

// shown is a value as its field shows it.
func (f FormField) shown(node any) string {
	if text := asTyped(node); text != f.Unset {
		return text
	}
	return ""
}

// differs compares one field; a box that is not ticked is the same as one that is not there.
func (f FormField) differs(label string, was, is any) []Difference {
	before, after := f.shown(within(was, f.Name)), f.shown(within(is, f.Name))
	if f.Kind == Checkbox && before+after == "false" || before == after {
		return nil
	}
	return []Difference{{label, f.Kind, before, after}}
}

// linesDiffer compares the lines of a repeated part. Those of one field are told by what went and what came.
func (f FormField) linesDiffer(was, is any) []Difference {
	old, current := f.lines(was), f.lines(is)
	var all []Difference
	if len(f.Rows) == 1 {
		gone, come := old.without(current), current.without(old)
		if len(gone)+len(come) > 0 {
			all = append(all, Difference{f.Label, Text, strings.Join(gone, ", "), strings.Join(come, ", ")})
		}
	} else {
		for _, name := range append(slices.Clone(current.names), old.without(current)...) {
			for _, g := range f.Rows {
				label := f.Line() + " " + name + ", " + inside(g.Label)
				all = append(all, g.differs(label, old.at[name], current.at[name])...)
			}
		}
	}
	if len(all) == 0 && !slices.Equal(old.names, current.names) {
		all = append(all, Difference{f.Label + ", their order", Text, strings.Join(old.names, ", "), strings.Join(current.names, ", ")})
	}
	return all
}

// lineSet is the lines of a repeated part by what they begin with; a second one that begins alike has its number too.
type lineSet struct {
	names []string
	at    map[string]any
}

func (f FormField) lines(node any) lineSet {
	items, _ := node.([]any) // none, where it is empty
	set := lineSet{at: map[string]any{}}
	for i, item := range items {
		name := asTyped(within(item, f.Rows[0].Name))
		if _, twice := set.at[name]; twice || name == "" {
			name = strings.TrimSpace(fmt.Sprintf("%s (%d)", name, i+1))
		}
		set.names, set.at[name] = append(set.names, name), item
	}
	return set
}

func (s lineSet) without(other lineSet) []string {
	return slices.DeleteFunc(slices.Clone(s.names), func(name string) bool { _, there := other.at[name]; return there })
}

// inside writes a label as it stands within a sentence: "Set value" as "set value", and "T90" as it is.
func inside(label string) string {
	if len(label) > 1 && label[1] >= 'a' && label[1] <= 'z' {
		return strings.ToLower(label[:1]) + label[1:]
	}
	return label
}

package views

import (
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"strings"
)

// functions are what templates may call. Those named like a part gather what the part takes; each is described at the top
// of the part's file.
var functions = template.FuncMap{
	"num": num, "litres": litres, "money": money, "date": date, "when": when, "plural": plural, "about": about,
	"limit": limit,
	"shape": shape, "word": word, "known": known, "severity": severity, "text": text,
	"dict": dict, "list": list, "seq": seq, "join": join, "tight": tight, "json": inline,
	"rownumber": rowNumber,
	"typed":     Page.typed, "fault": Page.fault, "touched": Page.touched, "rows": Page.rows, "here": Page.here, "asset": asset,
	"field": newField, "group": group, "option": newOption, "verdicts": newVerdicts, "card": newCard, "gasbar": newGasBar, "line": newLine,
	"column": newColumn, "table": newTable, "empty": newEmpty, "pager": newPager, "button": newButton, "label": newLabel,
	"cliff": newCliff, "volscale": newVolScale, "timeline": newTimeline, "few": few, "decimal": decimal,
	"caution": caution, "cautions": cautions, "tagcode": tagCode,
}

// dict gathers names and values: dict "tag" .Tag "place" .Place.
func dict(pairs ...any) (map[string]any, error) {
	if len(pairs)%2 != 0 {
		return nil, errors.New("names and values do not pair up")
	}
	named := make(map[string]any, len(pairs)/2)
	for i := 0; i < len(pairs); i += 2 {
		name, ok := pairs[i].(string)
		if !ok {
			return nil, fmt.Errorf("%v stands where a name should", pairs[i])
		}
		if _, twice := named[name]; twice {
			return nil, fmt.Errorf("%q is given twice", name)
		}
		named[name] = pairs[i+1]
	}
	return named, nil
}

func list(items ...any) []any { return items }

// seq counts from one number to another, both included; it is empty where the second is less.
func seq(from, to int) []int {
	var numbers []int
	for n := from; n <= to; n++ {
		numbers = append(numbers, n)
	}
	return numbers
}

// join puts the texts of a list into one: join ", " .Components.
func join(between string, items any) string { return strings.Join(texts(items), between) }

// tight keeps each text of a list on one line: "H2S 24.6 ppm" does not lose its unit.
func tight(items any) []string {
	kept := texts(items)
	for i, t := range kept {
		kept[i] = strings.ReplaceAll(t, " ", "\u00a0")
	}
	return kept
}

// inline gives small data as JSON for a data attribute.
func inline(v any) (string, error) {
	data, err := json.Marshal(v)
	return string(data), err
}

// rowNumber counts rows from one, as people do; the row to copy has none yet.
func rowNumber(row any) string {
	if n, ok := number(row); ok {
		return num(0, n+1)
	}
	return ""
}

package handlers

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/problem"
)

// typed gives the fields of a form by name, as they were typed; of several of one name the last wins.
func typed(c *fiber.Ctx) map[string]string {
	all := map[string]string{}
	c.Request().PostArgs().VisitAll(func(key, value []byte) { all[string(key)] = string(value) })
	if form, err := parts(c); err == nil && form != nil {
		for name, values := range form.Value {
			all[name] = values[len(values)-1]
		}
	}
	return all
}

const (
	mostFields = 4000
	deepest    = 6
)

// formTree makes a tree of the dotted names of a form. "pressure" and "pressure.unit" become one text with its unit.
func formTree(fields map[string]string) (any, error) {
	if len(fields) > mostFields {
		return nil, problem.New(problem.TooLarge, "the form has too many fields", "send it in parts")
	}
	root := map[string]any{}
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		if name == "csrf" || name == "key" || strings.HasSuffix(name, ".unit") {
			continue
		}
		if err := plant(root, strings.Split(name, "."), withUnit(fields[name], fields[name+".unit"])); err != nil {
			return nil, err
		}
	}
	return root, nil
}

// withUnit puts the unit chosen beside a field behind its figure, unless a unit was typed with it.
func withUnit(value, chosen string) string {
	value = strings.TrimSpace(value)
	if value == "" || chosen == "" || strings.Trim(value, "+-0123456789., ") != "" {
		return value
	}
	return value + " " + chosen
}

func plant(at map[string]any, path []string, value string) error {
	if len(path) > deepest {
		return problem.New(problem.Malformed, "a field of the form is nested too deep", "use the form as it is")
	}
	if len(path) == 1 {
		at[path[0]] = value
		return nil
	}
	next, ok := at[path[0]].(map[string]any)
	if !ok {
		if _, taken := at[path[0]]; taken {
			return problem.New(problem.Malformed, "two fields of the form contradict each other: "+path[0], "use the form as it is")
		}
		next = map[string]any{}
		at[path[0]] = next
	}
	return plant(next, path[1:], value)
}

func numbered(rows map[string]any) ([]any, bool) {
	last := -1
	for key, row := range rows {
		i, err := strconv.Atoi(key)
		if err != nil || i < 0 || i >= mostRows {
			return nil, false
		}
		if !blank(row) {
			last = max(last, i)
		}
	}
	items := make([]any, last+1)
	for i := range items {
		items[i] = rows[strconv.Itoa(i)]
	}
	return items, true
}

func blank(node any) bool {
	switch n := node.(type) {
	case string:
		return strings.TrimSpace(n) == ""
	case map[string]any:
		for _, sub := range n {
			if !blank(sub) {
				return false
			}
		}
		return true
	}
	return node == nil
}

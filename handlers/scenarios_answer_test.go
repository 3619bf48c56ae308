package handlers

import (
	"html"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// fields are values of an answer by their way in it: "cylinders.0.tag", "holds.#" for how many.
type fields map[string]any

// about is a number that is met within 2 %.
type about float64

// plainly gives the text of an answer as it reads: without the escapes of JSON and HTML.
func plainly(r reply) string {
	if r.JSON == nil {
		return html.UnescapeString(r.Text)
	}
	return strings.NewReplacer(`\u003c`, "<", `\u003e`, ">", `\u0026`, "&", `\"`, `"`).Replace(r.Text)
}

// dig follows a way into an answer: by name, by place in a list, by the item or the key of a row, or "#" for how many there
// are. It gives nil where there is nothing.
func dig(node any, way string) any {
	for _, name := range strings.Split(way, ".") {
		switch n := node.(type) {
		case map[string]any:
			node = n[name]
		case []any:
			node = rowOf(n, name)
		default:
			return nil
		}
	}
	return node
}

func rowOf(rows []any, name string) any {
	if name == "#" {
		return float64(len(rows))
	}
	for i, row := range rows {
		if name == strconv.Itoa(i) || dig(row, "item") == name || dig(row, "key") == name {
			return row
		}
	}
	return nil
}

func same(got, want any, fill func(string) string) bool {
	switch w := want.(type) {
	case about:
		x, ok := got.(float64)
		return ok && math.Abs(x-float64(w)) <= 0.02*math.Abs(float64(w))
	case int:
		return got == float64(w)
	case string:
		return got == fill(w)
	}
	return reflect.DeepEqual(got, want)
}

// brieflyTold gives the part of an answer that says what is wrong.
func brieflyTold(r reply) string {
	if _, told, found := strings.Cut(r.Text, `id="problem"`); found {
		told, _, _ = strings.Cut(told, "</section>")
		return told
	}
	text := r.Text
	if _, main, found := strings.Cut(text, "<main"); found {
		text = main
	}
	return text[:min(len(text), 1000)]
}

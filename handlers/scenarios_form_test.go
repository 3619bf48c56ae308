package handlers

import (
	"encoding/json"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	nethtml "golang.org/x/net/html"
)

// formOf makes of a JSON order what a browser sends of the form: dotted names, the unit chosen beside its figure, a list of
// words as lines of one text.
func formOf(t *testing.T, body string) url.Values {
	t.Helper()
	form := url.Values{}
	if body == "" {
		return form
	}
	dec := json.NewDecoder(strings.NewReader(body))
	dec.UseNumber()
	var tree map[string]any
	if err := dec.Decode(&tree); err != nil {
		t.Fatalf("%v: %s", err, body)
	}
	spreadForm("", tree, form)
	return form
}

// measured is a figure with a unit that forms offer beside the box.
var measured = regexp.MustCompile(`^([-+]?[0-9][0-9.,]*) (bar|psi|kPa|MPa|ppm|%vol|ppb|%rel|L|mL|L/min|s|min|cm|m|C|EUR)$`)

func spreadForm(name string, node any, form url.Values) {
	switch n := node.(type) {
	case map[string]any:
		for key, sub := range n {
			spreadForm(dotted(name, key), sub, form)
		}
	case []any:
		if words := wordsOf(n); len(words) > 0 {
			form.Set(name, strings.Join(words, "\n"))
			return
		}
		for i, sub := range n {
			spreadForm(dotted(name, strconv.Itoa(i)), sub, form)
		}
	case string:
		if m := measured.FindStringSubmatch(n); m != nil {
			form.Set(name, m[1])
			form.Set(name+".unit", m[2])
			return
		}
		form.Set(name, n)
	case json.Number:
		form.Set(name, n.String())
	case bool:
		form.Set(name, strconv.FormatBool(n))
	}
}

func wordsOf(list []any) []string {
	var words []string
	for _, item := range list {
		word, is := item.(string)
		if !is {
			return nil
		}
		words = append(words, word)
	}
	return words
}

// formComesBack checks the page that a refused form is: its status, the message beside each wrong field, a box for each
// reason that is asked for, and what was typed.
func (p *player) formComesBack(s step, path, body string, r reply, told map[string]any) {
	p.t.Helper()
	if !strings.Contains(r.Text, `id="problem"`) {
		p.fail("the page of a refusal has no problem on it: %s", r.Text)
		return
	}
	if s.want != http.StatusUnprocessableEntity && s.want != http.StatusConflict || path == "/checkouts/recommend" {
		return
	}
	f := formOn(p.t, r.Text, path)
	for _, wrong := range rowsOf(told, "fields") {
		name, _ := dig(wrong, "name").(string)
		id := "f-" + strings.NewReplacer(".", "-", " ", "-").Replace(name)
		if f.shown[name] && !strings.Contains(r.Text, `id="`+id+`-fault"`) || !strings.Contains(plainly(r), dig(wrong, "text").(string)) {
			p.fail("there is no message beside %s", name)
		}
	}
	if stopped := strings.Contains(toText(told["findings"]), `"severity":"stop"`); !stopped {
		for _, finding := range rowsOf(told, "findings") {
			name := "reasons." + dig(finding, "rule").(string)
			if dig(finding, "severity") == "ask" && !f.shown[name] {
				p.fail("there is no box for %s", name)
			}
		}
	}
	for name, typed := range formOf(p.t, body) {
		if got := f.values[name]; typed[0] != "" && strings.TrimSpace(got) != strings.TrimSpace(typed[0]) {
			p.fail("%s was %q and comes back as %q", name, typed[0], got)
		}
	}
}

func toText(v any) string {
	text, _ := json.Marshal(v) // what came from JSON goes back
	return string(text)
}

func rowsOf(told map[string]any, list string) []any {
	rows, _ := told[list].([]any)
	return rows
}

// formPage is what the forms of a page hold: the values by name, and which of them a person sees.
type formPage struct {
	values map[string]string
	shown  map[string]bool
}

// formOn reads the form of a page that is sent to a path; where there is none, everything that the page's forms hold.
func formOn(t *testing.T, page, path string) formPage {
	t.Helper()
	root, err := nethtml.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	f := formPage{map[string]string{}, map[string]bool{}}
	var sent *nethtml.Node
	for n := range root.Descendants() {
		if n.Data == "form" && attribute(n, "action") == path {
			sent = n
		}
	}
	if sent == nil {
		sent = root
	}
	for n := range sent.Descendants() {
		f.control(n)
	}
	return f
}

func (f formPage) control(n *nethtml.Node) {
	name := attribute(n, "name")
	if n.Type != nethtml.ElementNode || name == "" || inTemplate(n) {
		return
	}
	value, set := "", true
	switch n.Data {
	case "input":
		value = attribute(n, "value")
		if kind := attribute(n, "type"); kind == "radio" || kind == "checkbox" {
			set = has(n, "checked")
		}
	case "textarea":
		value = textOf(n)
	case "select":
		value = chosenOf(n)
	default:
		return
	}
	f.shown[name] = f.shown[name] || attribute(n, "type") != "hidden"
	if set {
		f.values[name] = value
	}
}

// chosenOf gives the option that a select stands at: the marked one, else the first.
func chosenOf(n *nethtml.Node) string {
	value, first := "", true
	for o := range n.Descendants() {
		if o.Data != "option" || !first && !has(o, "selected") {
			continue
		}
		if value = attribute(o, "value"); !has(o, "value") {
			value = textOf(o)
		}
		if first = false; has(o, "selected") {
			break
		}
	}
	return value
}

func textOf(n *nethtml.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == nethtml.TextNode {
			b.WriteString(d.Data)
		}
	}
	return b.String()
}

func attribute(n *nethtml.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func has(n *nethtml.Node, name string) bool {
	return slices.ContainsFunc(n.Attr, func(a nethtml.Attribute) bool { return a.Key == name })
}

func inTemplate(n *nethtml.Node) bool {
	for p := n.Parent; p != nil; p = p.Parent {
		if p.Data == "template" {
			return true
		}
	}
	return false
}

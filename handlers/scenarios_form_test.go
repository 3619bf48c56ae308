package handlers

import (
	"encoding/json"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	nethtml "golang.org/x/net/html"

	"spanroom/internal/auth"
	"spanroom/views"
)

// formOf makes of a JSON order what a browser sends of the form: dotted names, rows by their number, the unit chosen beside
// its figure, serials as lines of one text.
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
		if words := wordsOf(n); (name == "serials" || name == "instruments") && len(words) > 0 {
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
		switch {
		case f.shown[name] && (!strings.Contains(r.Text, `id="`+id+`-fault"`) || !strings.Contains(r.Text, `href="#`+id+`"`)):
			p.fail("there is no message beside %s", name)
		case !f.shown[name] && !strings.Contains(r.Text, `href="#`+id+`"`) && !strings.Contains(r.Text, "<li>"+html.EscapeString(views.Field{Name: name}.Spoken())+": "):
			p.fail("what is wrong with %s is not told", name)
		}
	}
	if !hasFinding(told, "stop", "") {
		for _, finding := range rowsOf(told, "findings") {
			name := "reasons." + dig(finding, "rule").(string)
			if dig(finding, "severity") == "ask" && !f.shown[name] {
				p.fail("there is no box for %s", name)
			}
		}
	}
	p.keepsWhatWasTyped(f, p.firstForm(s.as, path, formOf(p.t, body)), formOf(p.t, body))
}

// keepsWhatWasTyped compares a form that comes back with what was sent. What the form never had a box for is not missed, and
// a choice can only be one of those that are offered.
func (p *player) keepsWhatWasTyped(back, first formPage, typed url.Values) {
	p.t.Helper()
	for name, values := range typed {
		value := strings.TrimSpace(values[0])
		offered, chooses := back.offered[name]
		_, there := back.values[name]
		switch {
		case value == "" || strings.ContainsFunc(value, unicode.IsControl) && !strings.Contains(value, "\n"):
		case chooses && !slices.Contains(offered, value):
		case there && !back.shown[name] && (name == "version" || back.values[name] == first.values[name]): // the page's own
		case !there && (first.shown[name] || first.values[name] != ""):
			p.fail("%s was %q, and is not on the form that comes back", name, value)
		case there && strings.TrimSpace(back.values[name]) != value:
			p.fail("%s was %q and comes back as %q", name, value, back.values[name])
		}
	}
}

// firstForm is the form as a person opens it, before anything is typed.
func (p *player) firstForm(as auth.Role, path string, typed url.Values) formPage {
	p.t.Helper()
	at := opensAt(path, typed)
	if known, is := p.firsts[at+path]; is {
		return known
	}
	var f formPage
	if page := p.page(as, at); page.Status == http.StatusOK {
		f = formOn(p.t, page.Text, path)
	}
	p.firsts[at+path] = f
	return f
}

// opensAt is the address of the page that has the form which is sent to a path.
func opensAt(path string, typed url.Values) string {
	path, _, _ = strings.Cut(path, "?")
	parts := strings.Split(strings.Trim(path, "/"), "/")
	switch noun, act := parts[0], parts[len(parts)-1]; {
	case noun == "settings":
		return "/settings"
	case noun == "holds" && act == "release":
		return "/holds?release=" + parts[1]
	case noun == "holds":
		return "/holds"
	case noun == "receipts":
		return "/receipts/new?item=" + escape(typed.Get("item"))
	case noun == "checkouts" && act == noun:
		return "/checkouts/new?item=" + escape(typed.Get("item"))
	case act == "return":
		return path
	case len(parts) > 1:
		return "/" + noun + "/" + parts[1]
	default:
		return "/" + noun + "/new"
	}
}

// inPerson is call by the person who also sends the forms.
func (h *house) inPerson(role auth.Role, method, path, body string) reply {
	h.t.Helper()
	req := request(method, "/api/v1"+path, "application/json", body)
	req.Header.Set("Sec-Fetch-Site", "same-origin")
	req.AddCookie(&http.Cookie{Name: sessionCookie, Value: h.session(role)})
	r := h.reply(h.send(req))
	h.conforms(method, path, body, r)
	return r
}

func rowsOf(told map[string]any, list string) []any {
	rows, _ := told[list].([]any)
	return rows
}

// formPage is what a form holds: the values by name, which of them a person sees, and what there is to choose from.
type formPage struct {
	values  map[string]string
	shown   map[string]bool
	offered map[string][]string // of what is chosen
}

// formOn reads the form of a page that is sent to a path; where there is none, everything that the page's forms hold.
func formOn(t *testing.T, page, path string) formPage {
	t.Helper()
	root, err := nethtml.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	f := formPage{map[string]string{}, map[string]bool{}, map[string][]string{}}
	var sent *nethtml.Node
	for n := range root.Descendants() {
		if n.Data == "form" && attribute(n, "action") == path {
			sent = n
		}
	}
	if sent == nil {
		sent = root
	}
	for n := range root.Descendants() {
		if within(n, sent) || attribute(n, "form") != "" && attribute(n, "form") == attribute(sent, "id") {
			f.control(n)
		}
	}
	return f
}

func within(n, outer *nethtml.Node) bool {
	for n != nil && n != outer {
		n = n.Parent
	}
	return n != nil
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
			f.offered[name] = append(f.offered[name], value)
		}
	case "textarea":
		value = textOf(n)
	case "select":
		value, f.offered[name] = chosenOf(n)
	default:
		return
	}
	f.shown[name] = f.shown[name] || attribute(n, "type") != "hidden"
	if set {
		f.values[name] = value
	}
}

// chosenOf gives the option that a select stands at, the marked one or else the first, and all of them.
func chosenOf(n *nethtml.Node) (chosen string, all []string) {
	for o := range n.Descendants() {
		if o.Data != "option" || o.Type != nethtml.ElementNode {
			continue
		}
		value := attribute(o, "value")
		if !has(o, "value") {
			value = textOf(o)
		}
		if len(all) == 0 || has(o, "selected") {
			chosen = value
		}
		all = append(all, value)
	}
	return chosen, all
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

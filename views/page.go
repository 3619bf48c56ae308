package views

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Page is everything that a page shows. Name chooses the template; Answer is the room's own answer, whose fields the
// template reaches by their Go names.
type Page struct {
	Title   string // what the page is, in the person's words; also its heading
	Name    string // pages/NAME.html
	Path    string // path of the request, for links back
	Query   string // raw query of the request, kept by sort and paging links
	CSRF    string // hidden field csrf of each form
	Key     string // hidden field key: one act, however often the form is sent
	Notice  string // what was just done
	Mark    string // ask or stop where more is to be done now; else it is simply done
	Person  *Person
	Nav     []Link
	Problem *Problem
	Typed   map[string]string // what was typed into the form, by field name
	Answer  any
	// Cautions are those that the handler wants; most pages name theirs in the template.
	Cautions []Caution
	Now      time.Time
	Zone     *time.Location
	Start    []Step // how the catalogue is begun, on pages that can do nothing while it is empty

	labels map[string]string // of the fields that are drawn, by their dotted names; nil where nobody asks
}

// Step is one sort of thing that a new site enters: what for, how many there are, and who enters it where the person may not.
type Step struct {
	Text, Why, Href, Ask string
	Count                int64
}

// Person is who is signed in; a page without one shows no scan box and no navigation.
type Person struct{ Name, Role string }

// Link is one way on; Here marks the page that is shown.
type Link struct {
	Href, Text string
	Here       bool
}

// Problem is why something was not done: what, why and the next step, with the fields and findings that it rests on.
type Problem struct {
	Title, Detail, Advice string
	Fields                []Field
	Findings              []Finding
}

// Field is what is wrong with one field of a form, by its dotted name.
type Field struct {
	Name, Text, Advice string

	label string // as its page has it, see labelled
}

// ID is the element that the field stands in, as the part "field" names it.
func (f Field) ID() string { return fieldID(f.Name) }

// Finding is the verdict of one rule: severity stop, ask or note, the sentence with its arithmetic, and the next step.
type Finding struct{ Rule, Severity, Subject, Text, Advice string }

// typed gives what was typed into a field, or the fallback where nothing was sent.
func (p Page) typed(name, fallback any) string {
	if v, ok := p.Typed[text(name)]; ok {
		return v
	}
	return text(fallback)
}

// fault gives what is wrong with a field, or nil.
func (p Page) fault(name any) *Field {
	if p.Problem == nil {
		return nil
	}
	for i := range p.Problem.Fields {
		if p.Problem.Fields[i].Name == text(name) {
			return &p.Problem.Fields[i]
		}
	}
	return nil
}

// touched tells whether something was typed into a field under a prefix, or is wrong with one: then what is folded opens. The
// unit beside a box is never empty and says nothing.
func (p Page) touched(prefix any) bool {
	for name, typed := range p.Typed {
		if strings.HasPrefix(name, text(prefix)) && typed != "" && !strings.HasSuffix(name, ".unit") {
			return true
		}
	}
	return p.Problem != nil && slices.ContainsFunc(p.Problem.Fields, func(f Field) bool { return strings.HasPrefix(f.Name, text(prefix)) })
}

// rows counts how many repeated rows a form shows: those that were typed, and at least so many. Rows are named
// PREFIX.0.field, PREFIX.1.field and so on.
func (p Page) rows(prefix any, atLeast int) []int {
	n := atLeast
	for name := range p.Typed {
		rest, ok := strings.CutPrefix(name, text(prefix)+".")
		if !ok {
			continue
		}
		index, _, _ := strings.Cut(rest, ".")
		if i, err := strconv.Atoi(index); err == nil && i >= n && i < maxRows {
			n = i + 1
		}
	}
	rows := make([]int, n)
	for i := range rows {
		rows[i] = i
	}
	return rows
}

// maxRows bounds what a form can be made to show by a field name that somebody sent.
const maxRows = 500

// here gives the page's own address with some of its query changed; "" takes one away.
func (p Page) here(pairs ...any) (string, error) {
	query, err := url.ParseQuery(p.Query)
	if err != nil {
		query = url.Values{} // a query that cannot be read is not carried on
	}
	changes, err := dict(pairs...)
	if err != nil {
		return "", err
	}
	for name, v := range changes {
		query.Set(name, text(v))
		if text(v) == "" {
			query.Del(name)
		}
	}
	if len(query) == 0 {
		return p.Path, nil
	}
	return p.Path + "?" + query.Encode(), nil
}

func (p Page) query(name string) string {
	query, _ := url.ParseQuery(p.Query) // as in here
	return query.Get(name)
}

func (p Page) zone() *time.Location {
	if p.Zone == nil {
		return time.UTC
	}
	return p.Zone
}

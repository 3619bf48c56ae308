package views

import (
	"cmp"
	"html/template"
	"io"
	"slices"
	"strconv"
	"strings"
)

// labelled gives the page with its wrong fields named by their labels. It is rendered once for that: the summary stands above
// the fields.
func labelled(page *template.Template, p Page) (Page, error) {
	if p.Problem == nil || len(p.Problem.Fields) == 0 {
		return p, nil
	}
	p.labels = map[string]string{}
	if err := page.ExecuteTemplate(io.Discard, "layout", p); err != nil {
		return p, err
	}
	problem := *p.Problem
	problem.Fields = slices.Clone(problem.Fields)
	for i, f := range problem.Fields {
		problem.Fields[i].label = p.labels[f.Name]
	}
	p.Problem = &problem
	return p, nil
}

// group gives the id of a group of fields and makes its label known, so that the summary can name and lead to it.
func group(p Page, name, label any) string {
	if p.labels != nil {
		p.labels[text(name)] = text(label)
	}
	return fieldID(text(name))
}

// lines are what the lines of a list are called, where the field does not say; papers are parts of a form that bear a name.
var (
	lines  = map[string]string{"tests": "Test", "cylinders": "Cylinder"}
	papers = map[string]string{"certificate": "Certificate"}
)

// spokenLabel names a field outside its form: by its label, and in a repeated part with its line: "Component 1, amount".
func spokenLabel(name, label, line string) string {
	parts := strings.Split(name, ".")
	if paper := papers[parts[0]]; paper != "" && len(parts) > 1 {
		return paper + ", " + inside(label)
	}
	for i, part := range parts {
		n, err := strconv.Atoi(part)
		if err != nil || i == 0 {
			continue
		}
		line = cmp.Or(line, lines[parts[i-1]])
		switch {
		case line == "":
			return label
		case line == label:
			return line + " " + strconv.Itoa(n+1)
		}
		return line + " " + strconv.Itoa(n+1) + ", " + inside(label)
	}
	return label
}

// inside writes a label as it stands within a sentence: "Set value" as "set value", and "T90" as it is.
func inside(label string) string {
	if len(label) > 1 && label[1] >= 'a' && label[1] <= 'z' {
		return strings.ToLower(label[:1]) + label[1:]
	}
	return label
}

// Labelled tells whether the field stands on the page, so that there is somewhere to lead to.
func (f Field) Labelled() bool { return f.label != "" }

// Spoken is how the summary calls the field: by its label, or where it is not on the page by its dotted name as words, lines
// counted from one: "certificate values 2 amount".
func (f Field) Spoken() string {
	if f.label != "" {
		return f.label
	}
	words := strings.Split(f.Name, ".")
	for i, w := range words {
		if n, err := strconv.Atoi(w); err == nil {
			words[i] = strconv.Itoa(n + 1)
		}
	}
	return strings.ReplaceAll(strings.Join(words, " "), "_", " ")
}

package views

import (
	"html"
	"html/template"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	nethtml "golang.org/x/net/html"
)

// hostile is what somebody may type into any field.
const hostile = `"><script>alert(1)</script>'&`

// sample is an answer whose every text is hostile.
type sample struct {
	Text     code
	List     []code
	Findings []theirs
	Picture  template.HTML
	Points   []cliffPoint
	Lots     []cliffLot
	Marks    []scaleMark
	Terms    []timelineTerm
}

// partTries calls each part with hostile data in each place; "on" stands in what must come out.
var partTries = map[string]struct{ call, on string }{
	"scan":          {`{{template "scan" $}}`, `name="text"`},
	"keys":          {`{{template "keys" $}}`, `name="key" value="k-1"`},
	"field":         {`{{template "field" (field $ "lot" "label" $.Answer.Text "hint" $.Answer.Text "suggest" $.Answer.List "required" true "focus" true "scan" "lot text" "autocomplete" "off" "enter" "next" "form" "order")}}`, `aria-invalid="true"`},
	"quantity":      {`{{template "field" (field $ "pressure" "label" $.Answer.Text "kind" "quantity" "value" $.Answer.Text "units" $.Answer.List)}}`, `name="pressure.unit"`},
	"number":        {`{{template "field" (field $ "counted" "label" "Counted" "kind" "number" "value" 8)}}`, `inputmode="numeric"`},
	"date":          {`{{template "field" (field $ "from" "label" "From" "kind" "date" "value" "2027-03-05")}}`, `type="date" value="2027-03-05"`},
	"select":        {`{{template "field" (field $ "place" "label" $.Answer.Text "kind" "select" "options" $.Answer.List "value" $.Answer.Text "blank" $.Answer.Text)}}`, ` selected>`},
	"choice":        {`{{template "field" (field $ "result" "label" $.Answer.Text "kind" "choice" "options" $.Answer.List "value" $.Answer.Text "hint" "one of them" "form" "order")}}`, ` checked`},
	"checkbox":      {`{{template "field" (field $ "seal" "label" $.Answer.Text "kind" "checkbox" "value" true)}}`, `type="checkbox"`},
	"textarea":      {`{{template "field" (field $ "note" "label" $.Answer.Text "kind" "textarea" "value" $.Answer.Text)}}`, `<textarea id="f-note" rows="3"`},
	"password":      {`{{template "field" (field $ "password" "label" "Password" "kind" "password" "value" "secret")}}`, `type="password" name="password">`},
	"file":          {`{{template "field" (field $ "file" "label" "File" "kind" "file" "accept" ".pdf" "value" "secret")}}`, `type="file" name="file" accept=".pdf">`},
	"row-add":       {`{{template "row-add" (dict "of" $.Answer.Text "text" $.Answer.Text)}}`, `data-rows=`},
	"row-remove":    {`{{template "row-remove" $.Answer.Text}}`, `data-remove`},
	"problem":       {`{{template "problem" $}}{{template "field" (field $ "lot" "label" "Lot")}}`, `href="#f-lot"`},
	"problem-brief": {`{{template "problem-brief" $}}{{template "field" (field $ "lot" "label" "Lot")}}`, `href="#f-lot"`},
	"verdicts":      {`{{template "verdicts" (verdicts $ $.Answer.Findings "form" "order" "prefix" "x")}}`, `name="reasons.R20"`},
	"nothing":       {`{{template "verdicts" (verdicts $ nil "nothing" $.Answer.Text)}}`, `✓`},
	"mark":          {`{{template "mark" "ask"}}{{template "mark" $.Answer.Text}}`, `◆`},
	"readiness":     {`{{template "readiness" "usable"}}{{template "readiness" $.Answer.Text}}`, `✓`},
	"card": {`{{template "card" (card $ "tag" $.Answer.Text "href" $.Answer.Text "name" $.Answer.Text "components" $.Answer.List "useby" $.Answer.Text "limited" $.Answer.Text
		"expires" "2027-08-10" "stage" "sealed" "readiness" "limited" "place" $.Answer.Text "holder" $.Answer.Text "since" "2027-03-05T07:12:00Z" "lot" $.Answer.Text
		"gas" (gasbar "usable" 22.1 "low" 18.2))}}`, `supplier's expiry 10 Aug 2027`},
	"gasbar":      {`{{template "gasbar" (gasbar "usable" 22.1 "low" 18.2 "heel" 2.0 "full" 68.1 "left" $.Answer.List "reference" $.Answer.Text)}}`, `role="img" aria-label="22.1 L usable`},
	"ledger-line": {`<ol class="ledger">{{template "ledger-line" (line $ "when" 1804230720000 "who" $.Answer.Text "what" $.Answer.Text "before" $.Answer.Text "after" $.Answer.Text "reason" $.Answer.Text)}}{{template "ledger-line" (line $ "what" $.Answer.Text "struck" true)}}</ol>`, `datetime="2027-03-05T`},
	"cliff": {`{{template "cliff" (cliff "name" $.Answer.Text "unit" $.Answer.Text "today" "2027-03-03" "level" 5.2 "orderby" "2027-03-23" "neededby" "2027-05-04"
		"points" $.Answer.Points "lots" $.Answer.Lots)}}`, `2.4 expire, 24 Mar</text>`},
	"scale":              {`{{template "scale" (volscale "gas" $.Answer.Text "words" $.Answer.Text "amount" 2.5 "marks" $.Answer.Marks)}}`, `role="img" aria-label="The cylinder has`},
	"timeline":           {`{{template "timeline" (timeline "today" "2027-03-03" "terms" $.Answer.Terms)}}`, `>use by</text>`},
	"kit":                {`{{template "kit" ` + aSet + `}}`, `(<strong>`},
	"kit-facts":          {`{{template "kit-facts" ` + aSet + `}}`, `last gas`},
	"proves":             {`{{template "proves" (dict "page" $ "value" "low")}}`, `<option value="low" selected>`},
	"table-head":         {`<table class="rows">{{template "table-head" (table $ (column "lot" "Lot") (column "" $.Answer.Text "num"))}}</table>`, `aria-sort="descending"`},
	"pager":              {`{{template "pager" (pager $ 80)}}`, `rel="next"`},
	"empty":              {`{{template "empty" (empty "text" $.Answer.Text "action" $.Answer.Text "href" "/receive")}}`, `href="/receive"`},
	"start":              {`{{template "start" (list (dict "Text" $.Answer.Text "Why" $.Answer.Text "Href" $.Answer.Text "Ask" $.Answer.Text "Count" 3))}}`, `; 3 there; ask `},
	"cautions":           {`{{template "cautions" (cautions (caution 15 $.Answer.Text) 8)}}`, `class="loud"`},
	"certificate-fields": {`{{template "certificate-fields" (dict "page" $ "prefix" "certificate." "components" (list (dict "Code" $.Answer.Text "Nominal" $.Answer.Text "Unit" "%vol")))}}`, `name="certificate.values.0.uncertainty"`},
	"release-fields":     {`{{template "release-fields" (dict "page" $ "hold" (dict "Reason" "Certificate missing" "Text" $.Answer.Text "By" $.Answer.Text "Since" "2027-03-05T07:12:00Z"))}}`, `name="until"`},
	"button":             {`{{template "button" (button $.Answer.Text "name" $.Answer.Text "value" $.Answer.Text)}}{{template "button" (button "Count" "kind" "plain" "href" "/counts")}}`, `<div class="act"><button class="main"`},
	"label": {`{{template "label" (label "tag" $.Answer.Text "name" $.Answer.Text "components" $.Answer.List "useby" "2027-04-10" "limited" $.Answer.Text "expires" "2027-08-10" "supplier" $.Answer.Text
		"lot" $.Answer.Text "size" $.Answer.Text "place" $.Answer.Text "opened" "2027-03-05" "printed" 2 "code" $.Answer.Picture)}}`, `<svg role="none"></svg>`},
}

// aSet is a pick as far as the parts about its regulator set take it.
const aSet = `(dict "Outlet" $.Answer.Text "KeptFor" $.Answer.List "Kit" (dict "Missing" $.Answer.Text "Parts" (list (dict "Kind" "tubing" "Code" $.Answer.Text
	"What" $.Answer.Text "Material" $.Answer.Text "LastGas" $.Answer.List "Where" $.Answer.Text))))`

func hostilePage() Page {
	finding := theirs{Rule: "R20", Severity: "ask", Subject: hostile, Text: hostile}
	return Page{
		Title: hostile, Path: "/lots", Query: "sort=-lot&q=" + "%22%3E%3Cscript%3E", CSRF: "c-1", Key: "k-1", Notice: hostile,
		Person: &Person{hostile, hostile}, Nav: []Link{{Href: "/", Text: hostile}},
		Typed: map[string]string{"lot": hostile},
		Problem: &Problem{Title: hostile, Detail: hostile, Advice: hostile, Fields: []Field{{Name: "lot", Text: hostile, Advice: hostile}},
			Findings: []Finding{{Rule: "R17", Severity: "stop", Text: hostile}}},
		Cautions: []Caution{{Text: hostile, Detail: hostile}},
		Answer: sample{Text: hostile, List: []code{hostile, "psi"}, Findings: []theirs{finding}, Picture: `<svg role="none"></svg>`,
			Points: []cliffPoint{{"2027-03-03", 9, 6.6, 0}, {"2027-03-31", 4.5, 4.5, 2.4}}, Lots: []cliffLot{{hostile, "2027-03-24", "", 2.4}},
			Marks: []scaleMark{{hostile, 4.4, true}}, Terms: []timelineTerm{{hostile, "2026-08-10", "2027-04-10", true}}},
	}
}

func TestPartsRenderAndEscape(t *testing.T) {
	for name, c := range partTries {
		t.Run(name, func(t *testing.T) {
			page := try(t, `<div id="try">`+c.call+`</div>`, hostilePage())
			if strings.Contains(page, "<script>") {
				t.Errorf("hostile text got through: %.300s", page[strings.Index(page, "<script>"):])
			}
			_, part, ok := strings.Cut(page, `<div id="try">`)
			if !ok || !strings.Contains(part, c.on) {
				t.Errorf("%s is not in\n%s", c.on, part)
			}
			if strings.Contains(c.call, "$.Answer.Text") && !strings.Contains(html.UnescapeString(part), "<script>alert(1)</script>") {
				t.Error("the text itself is lost")
			}
			balanced(t, page)
			identified(t, page)
		})
	}
}

func TestEveryPartIsTried(t *testing.T) {
	base, err := parseBase(files)
	if err != nil {
		t.Fatal(err)
	}
	inner := []string{"base", "layout", "class", "heading", "summary", "problem-words", "field-attributes", "field-below"}
	for _, part := range base.Templates() {
		if _, tried := partTries[part.Name()]; !tried && !slices.Contains(inner, part.Name()) && path.Ext(part.Name()) != ".html" {
			t.Errorf("the part %s is not tried", part.Name())
		}
	}
}

// A part is a contract: its file begins with what it takes.
func TestPartsAreDescribed(t *testing.T) {
	parts, err := fs.Glob(files, "parts/*.html")
	if err != nil || len(parts) < 10 {
		t.Fatalf("%d parts, %v", len(parts), err)
	}
	for _, p := range parts {
		content, err := files.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		comment, _, ok := strings.Cut(string(content), "*/}}")
		if !ok || !strings.HasPrefix(comment, "{{/* ") || !regexp.MustCompile(`[Tt]akes|PREFIX`).MatchString(comment) {
			t.Errorf("%s does not begin with what it takes", p)
		}
	}
}

func TestPasswordsAndFilesAreNotShownAgain(t *testing.T) {
	for _, name := range []string{"password", "file"} {
		if page := try(t, partTries[name].call, hostilePage()); strings.Contains(page, "secret") {
			t.Errorf("the value of a %s field came back", name)
		}
	}
}

var void = []string{"meta", "link", "input", "br", "img", "hr"}

// balanced holds every end tag against the tag that is open.
func balanced(t *testing.T, page string) {
	t.Helper()
	var open []string
	for z := nethtml.NewTokenizer(strings.NewReader(page)); ; {
		kind := z.Next()
		if kind == nethtml.ErrorToken {
			break
		}
		name, _ := z.TagName()
		switch tag := string(name); {
		case kind == nethtml.StartTagToken && !slices.Contains(void, tag):
			open = append(open, tag)
		case kind == nethtml.EndTagToken && (len(open) == 0 || open[len(open)-1] != tag):
			t.Fatalf("</%s> closes %v", tag, open)
		case kind == nethtml.EndTagToken:
			open = open[:len(open)-1]
		}
	}
	if len(open) > 0 {
		t.Fatalf("left open: %v", open)
	}
}

var (
	idAttribute  = regexp.MustCompile(`\sid="([^"]*)"`)
	idReferences = regexp.MustCompile(`\s(?:for|aria-describedby|aria-labelledby|list|popovertarget)="([^"]*)"`)
)

// identified holds ids to be there once and what refers to them to find them.
func identified(t *testing.T, page string) {
	t.Helper()
	ids := map[string]bool{}
	for _, m := range idAttribute.FindAllStringSubmatch(page, -1) {
		again := ids[m[1]]
		ids[m[1]] = true
		if again && !slices.Contains([]string{"problem", "problem-title", "scan-text", "verdict-p1"}, m[1]) { // the layout has these too
			t.Errorf("the id %s is there twice", m[1])
		}
	}
	for _, m := range idReferences.FindAllStringSubmatch(page, -1) {
		for id := range strings.FieldsSeq(m[1]) {
			if !ids[id] {
				t.Errorf("nothing has the id %s", id)
			}
		}
	}
}

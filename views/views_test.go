package views

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// directory copies layout and parts and adds a page called "try" of this text.
func directory(t *testing.T, page string) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, files); err != nil {
		t.Fatal(err)
	}
	pages := filepath.Join(dir, "pages") // only the one page: the rest is tried by TestBuiltInPages
	if err := errors.Join(os.RemoveAll(pages), os.Mkdir(pages, 0o700)); err != nil {
		t.Fatal(err)
	}
	write(t, dir, "pages/try.html", page)
	return dir
}

func write(t *testing.T, dir, name, content string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o600); err != nil {
		t.Fatal(err)
	}
}

// try renders a page whose main part is this text.
func try(t *testing.T, main string, p Page) string {
	t.Helper()
	set, err := Load(directory(t, `{{define "main"}}`+main+`{{end}}`))
	if err != nil {
		t.Fatal(err)
	}
	p.Name = "try"
	var out bytes.Buffer
	if err := set.Render(&out, p); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestLoadFailsOnAFault(t *testing.T) {
	for name, page := range map[string]string{
		"syntax":              `{{define "main"}}{{if}}{{end}}`,
		"unknown function":    `{{define "main"}}{{colour .}}{{end}}`,
		"missing part":        `{{define "main"}}{{if .Person}}{{template "colour" .}}{{end}}{{end}}`,
		"place without words": `{{define "main"}}<p title={{if .Notice}}"{{end}}>{{end}}`,
		"no main":             `<p>lost</p>`,
	} {
		if _, err := Load(directory(t, page)); err == nil {
			t.Errorf("%s: loaded", name)
		} else if !strings.Contains(err.Error(), "try") {
			t.Errorf("%s: %v does not name the page", name, err)
		}
	}
	if _, err := Load(t.TempDir()); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("an empty directory: %v", err)
	}
}

func TestRenderReloadsADirectory(t *testing.T) {
	dir := directory(t, `{{define "main"}}<p>first</p>{{end}}`)
	set, err := Load(dir)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Contains(set.Names(), "try") || !slices.IsSorted(set.Names()) {
		t.Errorf("names %v", set.Names())
	}
	write(t, dir, "pages/try.html", `{{define "main"}}<p>second</p>{{end}}`)
	var out bytes.Buffer
	if err := set.Render(&out, Page{Name: "try"}); err != nil || !strings.Contains(out.String(), "<p>second</p>") {
		t.Errorf("%v, %s", err, out.String())
	}
	write(t, dir, "pages/try.html", `{{define "main"}}{{end`)
	out.Reset()
	if err := set.Render(&out, Page{Name: "try"}); err == nil || out.Len() > 0 {
		t.Errorf("a fault that came later: %v, wrote %q", err, out.String())
	}
}

func TestRenderIsWholeOrNothing(t *testing.T) {
	set, err := Load(directory(t, `{{define "main"}}<p>half</p>{{.Answer.Missing}}{{end}}`))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := set.Render(&out, Page{Name: "try", Answer: struct{}{}}); err == nil || out.Len() > 0 {
		t.Errorf("%v, wrote %q", err, out.String())
	}
	if err := set.Render(&out, Page{Name: "../layout"}); err == nil {
		t.Error("rendered a page that does not exist")
	}
}

func TestLayout(t *testing.T) {
	p := Page{
		Title: "Goods in", CSRF: "c-1", Key: "k-1", Notice: "8 cylinders received",
		Person: &Person{Name: "clerk B", Role: "clerk"},
		Nav:    []Link{{Href: "/", Text: "Stores desk"}, {Href: "/receive", Text: "Goods in", Here: true}},
	}
	page := try(t, `<p>here</p>`, p)
	for _, want := range []string{
		"<title>Goods in · Spanroom</title>", `<h1>Goods in</h1>`, `href="#main"`, `<main id="main"`, `role="status"`, "8 cylinders received",
		`action="/sign-out"`, `name="csrf" value="c-1"`, "clerk B", `<a href="/receive" aria-current="page">Goods in</a>`, `action="/scan"`,
		"does not certify gas, instruments or atmospheres", "trained practice decide", `/static/app.css?v=`,
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the frame lacks %s", want)
		}
	}
	p.Person = nil
	for _, not := range []string{`action="/scan"`, "/sign-out", "Stores desk"} {
		if strings.Contains(try(t, ``, p), not) {
			t.Errorf("%s is shown to somebody who is not signed in", not)
		}
	}
}

func TestLayoutTellsTheProblemFirst(t *testing.T) {
	p := Page{Title: "Take", Problem: &Problem{Title: "It is not taken", Detail: "wrong gas", Findings: []Finding{{Rule: "R17", Severity: "stop", Text: "24.6 ppm, not 20"}}}}
	page := try(t, `<p>the form</p>`, p)
	if !strings.Contains(page, "<title>It is not taken · Take · Spanroom</title>") {
		t.Error("the title does not begin with the problem")
	}
	problem, form := strings.Index(page, `id="problem"`), strings.Index(page, "the form")
	if problem < 0 || problem > form || !strings.Contains(page, "24.6 ppm, not 20") {
		t.Error("the problem with its findings does not stand before the form")
	}
	brief := try(t, `{{end}}{{define "summary"}}{{template "problem-brief" .}}`, p)
	if !strings.Contains(brief, `id="problem"`) || strings.Contains(brief, "24.6 ppm") {
		t.Error("the brief problem is missing, or carries the findings that the form shows")
	}
}

// The content security policy lets no style, script or handler stand in a page.
func TestBuiltInPagesRenderAndNeedNoInlineCode(t *testing.T) {
	set, err := Load("")
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Contains(set.Names(), "problem") {
		t.Fatalf("no page for problems in %v", set.Names())
	}
	var out bytes.Buffer
	if err := set.Render(&out, Page{Name: "problem", Title: "There is no such page", Problem: &Problem{Title: "Not found"}}); err != nil {
		t.Fatal(err)
	}
	inline := regexp.MustCompile(`(?i)\sstyle\s*=|\son[a-z]+\s*=|<style|<script(?:[^>]*)>[^<]|javascript:`)
	err = fs.WalkDir(files, ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".html" {
			return err
		}
		content, err := files.ReadFile(path)
		if found := inline.Find(content); found != nil {
			t.Errorf("%s: %q", path, found)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
